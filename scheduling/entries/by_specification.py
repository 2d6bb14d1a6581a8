"""Limits that begin from what is stamped on units: the published rule is chosen by the unit, not by the person."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Exists, OuterRef, Q

from equipment.availability.stamped import stamped_on
from equipment.common.wording import unit_words
from equipment.models import BottleChart, CylinderDesign, CylinderMarking, Filling, Unit
from scheduling.due.uncovered import uncovered
from scheduling.programme.published import points_for
from scheduling.programme.starting import StartingPoint


@dataclass(frozen=True, slots=True)
class Begun:
    """A limit that begins from one unit: the published rule that its specification and marks choose (None:
    none is published), in words, and which units the form says it is about."""

    point: StartingPoint | None
    words: str
    rule: dict[str, Any]


def begun_of(unit_id: str) -> Begun | None:
    """Where a limit for a unit begins; None of no unit, and of one that is no cylinder on record."""
    key = int(unit_id) if unit_id.isascii() and unit_id.isdecimal() and len(unit_id) < 18 else 0
    rows = Unit.objects.select_related("part_number__maker", "part_number__kind")
    unit = rows.filter(pk=key, merged_into=None).first()
    stamped = stamped_on(unit) if unit else None
    if unit is None or stamped is None:
        return None
    points = points_for(stamped.specification, stamped.marks)
    marks = f" marked {' '.join(stamped.marks)}" if stamped.marks else ""
    whose = "as stamped on it" if stamped.is_own else "by its part number"
    words = f"{unit_words(unit)} is a {stamped.specification} cylinder{marks}, {whose}."
    part = unit.part_number
    rule = {"kind": part.kind.code, "part_numbers": f"{part.maker.code}:{part.number}"}
    if stamped.is_own:
        rule |= {"serials": _serials_alike(unit, stamped.specification)}
    return Begun(points[0] if points else None, words, rule)


def _serials_alike(unit: Unit, specification: str) -> str:
    """The serial numbers of the same part number with the same specification; blank where all have it."""
    several = Unit.objects.filter(part_number=unit.part_number_id, merged_into=None).order_by("pk")
    latest = _latest([each.pk for each in several])
    by_part = CylinderDesign.objects.filter(part_number=unit.part_number_id)
    usual = by_part.values_list("specification__code", flat=True).first()
    own = [each.serial_number for each in several if latest.get(each.pk, usual) == specification]
    return "" if len(own) == len(several) else ", ".join(own)


def _latest(unit_ids: Iterable[int]) -> dict[int, str]:
    rows = CylinderMarking.objects.filter(unit__in=list(unit_ids)).order_by("read_on", "pk")
    return dict(rows.values_list("unit", "specification"))


@dataclass(frozen=True, slots=True)
class OnRecord:
    """Cylinders of one specification: how many, what is published of it, and those that no limit covers."""

    specification: str
    count: int
    points: list[StartingPoint]
    without_limit: list[Unit]


@dataclass(frozen=True, slots=True)
class Cylinders:
    """The cylinders on record by their specification; ``unknown`` are bottles whose specification is not."""

    by_specification: list[OnRecord]
    unknown: list[Unit]


def cylinders_on_record(on: date) -> Cylinders:
    """Every cylinder that is not gone, under its own specification, or its part number's. A fixed number of
    questions."""
    of_part = {"part_number": OuterRef("part_number")}
    is_own = Exists(CylinderMarking.objects.filter(unit=OuterRef("pk")))
    is_filled = Exists(BottleChart.objects.filter(**of_part)) | Exists(
        Filling.objects.filter(unit=OuterRef("pk"))
    )
    rows = Unit.objects.filter(
        is_own | is_filled | Q(part_number__cylinder__isnull=False), merged_into=None
    ).exclude(place__sort="gone")
    units = list(
        rows.select_related("part_number__cylinder__specification").order_by("serial_number", "pk")
    )
    latest = _latest([unit.pk for unit in units])
    alike: dict[str, list[Unit]] = defaultdict(list)
    for unit in units:
        design = getattr(unit.part_number, "cylinder", None)
        alike[latest.get(unit.pk, design.specification.code if design else "")].append(unit)
    bare = uncovered([unit.pk for unit in units], on)
    return Cylinders(
        [
            OnRecord(code, len(of), points_for(code, ()), [u for u in of if u.pk in bare])
            for code, of in sorted(alike.items())
            if code
        ],
        alike.get("", []),
    )
