"""On what a due item is, as a decision about it is kept: by its subject, not by the revision of its limit."""

from __future__ import annotations

from scheduling.models import DueItem


def subject_columns(item: DueItem) -> dict[str, int | None]:
    """The one of unit, position and aircraft that the item is about."""
    is_unit = item.unit_id is not None
    is_position = not is_unit and item.position_id is not None
    return {
        "unit_id": item.unit_id,
        "position_id": item.position_id if is_position else None,
        "aircraft_id": None if is_unit or is_position else item.aircraft_id,
    }
