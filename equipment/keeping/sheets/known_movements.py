"""Which lines of movements are on record already."""

from __future__ import annotations

from collections.abc import Collection
from uuid import UUID

from equipment.models import Movement, Place
from fleet.loading.batch import Batch

from .known import Kept, Lines

#: By field of the sheet, the column that keeps it: what a line says besides where, when and what.
_BESIDE = {
    "minutes": "aircraft_minutes",
    "cycles": "aircraft_cycles",
    "log_page": "log_page",
    "document": "document",
    "reason": "reason",
    "quantity": "quantity",
}


def lines_of_movements(batch: Batch, units: list[int | None], parents: list[int | None]) -> Lines:
    """Where, when and what make the act: the same line is the same act, however often it is brought."""
    named = ("to", "aircraft", "position", "parent_part", "parent_serial", "station", "name")
    told = ("part", "serial", "sort", "happened_on", "order", "replaces_on", "replaces_sort")
    about = [
        (unit, parent if to == Place.INSIDE else None)
        for unit, parent, to in zip(units, parents, batch["to"], strict=True)
    ]
    said = {name: batch[name] for name in _BESIDE}
    return Lines(batch, "movement", (*told, *named), about, said, _on_record)


def _on_record(acts: Collection[UUID]) -> dict[UUID, Kept]:
    around = ("to_place__parent_unit", "to_place__parent_unit__merged_into")
    rows = Movement.objects.filter(act_id__in=acts).values_list(
        "act_id", "unit", "unit__merged_into", *around, *_BESIDE.values()
    )
    return {
        act: Kept((kept or unit, kept_around or parent), dict(zip(_BESIDE, said, strict=True)))
        for act, unit, kept, parent, kept_around, *said in rows
    }
