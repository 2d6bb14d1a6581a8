"""What must go back: units that are another's, and cores owed for exchanges."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Place, Title


@dataclass(frozen=True, slots=True)
class Owed:
    """One thing that must go back: ``what`` in words, to whom, by when, at what charge, where it is now.

    ``days_left`` is below nought once it is late.
    """

    unit_id: int
    unit: str
    what: str
    sort: str
    owner: str
    by_on: date
    charge: str
    document: str
    where: str
    days_left: int

    @property
    def is_late(self) -> bool:
        return self.days_left < 0


def owed_back(today: date) -> list[Owed]:
    """Everything owed as of a day, the soonest first. A later title of the unit settles an earlier one;
    a unit that has gone to another party is no longer owed itself, a core is until a title says so."""
    parts = (f"unit__place__{part}" for part in PLACE_PARTS)
    rows = Title.objects.filter(from_on__lte=today, unit__merged_into=None)
    latest = rows.order_by("unit", "-from_on", "-pk").distinct("unit")
    found = []
    for row in Title.objects.filter(pk__in=latest.values("pk")).select_related(
        "unit__part_number", *parts
    ):
        place = row.unit.place
        is_with_us = place is None or place.sort not in (Place.PARTY, Place.GONE)
        if row.return_by is not None and is_with_us:
            found.append(_owed(row, "the unit itself", row.return_by, today))
        if row.core_due_on is not None:
            found.append(_owed(row, "a core in exchange", row.core_due_on, today))
    return sorted(found, key=lambda each: (each.by_on, each.unit_id, each.what))


def _owed(row: Title, what: str, by_on: date, today: date) -> Owed:
    return Owed(
        row.unit_id,
        unit_words(row.unit),
        what,
        row.get_sort_display(),
        row.owner,
        by_on,
        row.charge,
        row.document,
        place_words(row.unit.place),
        (by_on - today).days,
    )
