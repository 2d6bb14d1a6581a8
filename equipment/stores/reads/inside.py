"""The positions inside a unit, and what the records have at each."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from equipment.common.wording import unit_words
from equipment.models import PartPosition, Unit


@dataclass(frozen=True, slots=True)
class Inner:
    """One position inside a unit; ``units`` are the words of what is there, none where nothing is on record."""

    position_id: int
    code: str
    name: str
    units: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        return not self.units

    @property
    def words(self) -> str:
        there = f", on record: {', '.join(self.units)}" if self.units else ""
        return f"{self.name} ({self.code}){there}"


def inside_of(unit: Unit) -> list[Inner]:
    """Every position inside a unit, by code. Two questions.

    A unit is matched by its position's code: what was fitted before a re-identification is at the
    old part's position.
    """
    held = Unit.objects.inside(unit)
    there: dict[str, list[str]] = defaultdict(list)
    for one in held.select_related("part_number", "place__part_position").order_by("pk"):
        if one.place is not None and one.place.part_position is not None:
            there[one.place.part_position.code].append(unit_words(one))
    positions = PartPosition.objects.filter(part_number=unit.part_number_id).order_by("code")
    return [Inner(row.pk, row.code, row.name, tuple(there[row.code])) for row in positions]
