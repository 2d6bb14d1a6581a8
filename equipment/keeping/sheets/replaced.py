"""Which recorded movement a line replaces."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from equipment.models import Movement
from fleet.loading.batch import Batch


def replaced_movements(batch: Batch, units: list[int | None]) -> dict[int, int]:
    """By line, the recorded movement that it names by 'Replaces on' and 'Replaces movement'."""
    lines = [line for line in batch.good if batch["replaces_on"][line] is not None]
    if not lines:
        return {}
    standing = Movement.objects.filter(
        unit__in={units[line] for line in lines}, corrected_by=None, annulment=None
    )
    known = list(standing.values_list("pk", "unit_id", "sort", "happened_at", "zone", "day_order"))
    found: dict[int, int] = {}
    for line in lines:
        day, sort = batch["replaces_on"][line].on, batch["replaces_sort"][line]
        of_unit = [row for row in known if row[1] == units[line] and sort in {None, row[2]}]
        keys = [
            pk for pk, _, _, at, zone, _ in of_unit if at.astimezone(ZoneInfo(zone)).date() == day
        ]
        if len(keys) == 1:
            found[line] = keys[0]
        else:
            many = "several such movements" if keys else "no such movement"
            batch.refuse(
                line,
                "replaces_on",
                "ambiguous_movement" if keys else "unknown_movement",
                f"There is {many} of this unit on that day. Give the day on record, and the movement.",
            )
    return found
