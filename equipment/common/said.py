"""Fields that acts of the equipment share: a unit on record, a station."""

from __future__ import annotations

from typing import Any

from equipment.ledger.said import LOOK_UP, unit_row
from fleet.acts.fields import coded
from fleet.models import Station

__all__ = ["LOOK_UP", "UNIT_ID", "station_coded", "unit_row"]
UNIT_ID = "A unit's id."


def station_coded(label: str = "Station", **more: Any) -> Any:
    """A station by its code."""
    return coded(label, Station, "code", "station", most=8, **more)
