"""Reads of units that their pages need."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import Q, QuerySet
from django.db.models.functions import Upper

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.ledger.nesting import around_now
from equipment.models import PartNumber, Unit
from fleet.models import Aircraft, Kind, Station

MOST_FOUND = 100
LONGEST = 200


@dataclass(frozen=True, slots=True)
class Asked:
    """What a search asks: any part of a part or serial number, a kind, where."""

    text: str = ""
    kind: str = ""
    where: str = ""

    @classmethod
    def of(cls, query: Mapping[str, str]) -> Asked:
        plain = (query.get(name, "").replace("\x00", "") for name in ("text", "kind", "where"))
        return cls(*(text.strip()[:LONGEST] for text in plain))

    @property
    def words(self) -> list[str]:
        """What to look for: of a unit as it is printed here, ``P/N 1 S/N 2``, the numbers only."""
        words = re.split(r"[\s·|,;]+", self.text.upper())
        return [word for word in words if word and word not in {"S/N", "P/N"}]


@dataclass(frozen=True, slots=True)
class FoundUnit:
    """One line of a search."""

    id: int
    part_number: str
    serial_number: str
    description: str
    kind: str
    maker: str
    where: str
    is_merged: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One step outwards from a unit: inside which unit, on which aircraft."""

    words: str
    unit_id: int | None = None
    registration: str = ""


def whole_units() -> QuerySet[Unit]:
    return Unit.objects.select_related(
        "part_number__maker",
        "part_number__kind",
        "original_part__maker",
        "standard",
        "split_from",
        "aircraft",
        *(f"place__{part}" for part in PLACE_PARTS),
    )


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found: the first units, whether there are more, and whether none is written as it
    was typed, so that these are alike but for noughts in front, spaces and hyphens."""

    units: list[FoundUnit]
    is_more: bool
    is_near: bool = False


def found(asked: Asked) -> Found:
    """The first units that match; where none is written so, those that are written alike."""
    rows = _rows(asked, is_near=False)
    is_near = not rows and bool(asked.words)
    if is_near:
        rows = _rows(asked, is_near=True)
    units = [_found(unit) for unit in rows[:MOST_FOUND]]
    return Found(units, len(rows) > MOST_FOUND, is_near and bool(units))


def alike(word: str) -> str:
    """A pattern of what is written like this: with or without noughts in front of a number, spaces,
    hyphens and other marks. ``PO120``, ``PO-120`` and ``PO 0120`` are alike, ``04106`` and ``14106`` not."""
    runs = [run.lstrip("0") or "0" for run in re.findall(r"[0-9]+|[A-Z]+", word.upper())]
    marks = "[^0-9A-Z]*"
    parts = [
        f"(?:^|[^0-9])0*{run}"
        if at == 0 and run.isdigit()
        else f"0*{run}"
        if run.isdigit()
        else run
        for at, run in enumerate(runs)
    ]
    return marks.join(marks.join(part) if part.isalpha() else part for part in parts)


def _rows(asked: Asked, *, is_near: bool) -> list[Unit]:
    units = whole_units().alias(written=Upper("serial_number"))
    for word in asked.words:
        pattern = alike(word) if is_near else ""
        if is_near and not pattern:
            return []
        # Part numbers first: a condition on two tables at once could use the index of neither.
        parts = PartNumber.objects.alias(written=Upper("number")).filter(
            Q(written__regex=pattern) if is_near else Q(number__icontains=word)
        )
        serial = Q(written__regex=pattern) if is_near else Q(serial_number__icontains=word)
        units = units.filter(serial | Q(part_number__in=list(parts.values_list("pk", flat=True))))
    if asked.kind:
        units = units.filter(part_number__kind__code=asked.kind)
    if asked.where:
        units = units.filter(
            Q(aircraft__registration=asked.where)
            | Q(place__station__code=asked.where, aircraft=None)
        )
    return list(units.order_by("part_number__number", "serial_number", "pk")[: MOST_FOUND + 1])


def _found(unit: Unit) -> FoundUnit:
    return FoundUnit(
        id=unit.pk,
        part_number=unit.part_number.number,
        serial_number=unit.serial_number,
        description=unit.part_number.description,
        kind=unit.part_number.kind.name,
        maker=unit.part_number.maker.name,
        where=place_words(unit.place),
        is_merged=unit.merged_into_id is not None,
    )


def options() -> dict[str, list[tuple[str, str]]]:
    """What there is to choose from."""
    return {
        "kinds": list(Kind.objects.order_by("name").values_list("code", "name")),
        "stations": list(Station.objects.order_by("code").values_list("code", "name")),
        "aircraft": list(
            Aircraft.objects.order_by("registration").values_list("registration", "registration")
        ),
    }


def whereabouts(unit: Unit) -> list[Step]:
    """From the unit outwards: inside which unit, at which position of which aircraft."""
    outwards = around_now([unit.pk])[unit.pk]
    parts = (f"place__{part}" for part in PLACE_PARTS)
    units = Unit.objects.select_related(*parts).in_bulk(outwards)
    places = [units[key].place for key in outwards]
    steps = [
        Step(place_words(place), unit_id=outer)
        for place, outer in zip(places, outwards[1:], strict=False)
    ]
    last = places[-1]
    registration = (
        last.aircraft_position.aircraft.registration if last and last.aircraft_position else ""
    )
    return [*steps, Step(place_words(last), registration=registration)]


def inside(unit: Unit) -> QuerySet[Unit]:
    """The units in this unit's own positions."""
    return (
        Unit.objects.inside(unit)
        .select_related("part_number__kind", "place__part_position")
        .order_by("place__part_position__code", "pk")
    )
