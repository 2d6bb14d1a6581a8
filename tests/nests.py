"""Units inside a unit that turned out to be one with another: what tests of *what is inside* stand on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from equipment.keeping.merge import merge_units
from equipment.ledger.facts import MergeFact
from equipment.models import PartPosition, Unit
from tests import builders as build


@dataclass(frozen=True)
class Nest:
    """A slide with a bottle in it and a cell in that, both put into records that were merged away.

    ``bottle`` stands in a place of ``twin``, which is ``slide``; ``cell`` in one of ``bottle_twin``,
    which is ``bottle``.
    """

    slide: Unit
    twin: Unit
    bottle: Unit
    bottle_twin: Unit
    cell: Unit

    @property
    def inner(self) -> list[int]:
        return [self.bottle.pk, self.cell.pk]


def a_nest(
    slide: Unit, *, since: str = "2027-03-02", made_on: date | None = None, **of_cell: Any
) -> Nest:
    """That inside this slide, whose part gets a position for the bottle; ``of_cell`` is said of the
    cell's part number, which is of the kind ``CELL``."""
    bottles, cells = build.a_kind("BOTTLE"), build.a_kind("CELL")
    _position(slide.part_number, "BOTTLE", bottles)
    of_bottle = build.a_part(kind=bottles)
    _position(of_bottle, "CELL", cells)
    twin = build.a_unit(slide.part_number)
    bottle, bottle_twin = (build.a_unit(of_bottle, manufactured_on=made_on) for _ in range(2))
    cell = build.a_unit(build.a_part(kind=cells, **of_cell), manufactured_on=made_on)
    build.installed(cell, build.inside(bottle_twin, "CELL"), since)
    build.installed(bottle, build.inside(twin, "BOTTLE"), since)
    merged(slide, twin)
    merged(bottle, bottle_twin)
    units = (slide, twin, bottle, bottle_twin, cell)
    return Nest(*(Unit.objects.get(pk=each.pk) for each in units))


def merged(kept: Unit, absorbed: Unit) -> None:
    """The one turned out to be the other."""
    fact = MergeFact(kept.pk, absorbed.pk, "one plate, two entries")
    merge_units(by=build.a_person("controller"), rows=[fact], at=build.NOW)


def _position(part: Any, code: str, kind: Any) -> None:
    PartPosition.objects.get_or_create(
        part_number=part, code=code, defaults={"name": code, "kind": kind}
    )
