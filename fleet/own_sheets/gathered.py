"""Lines of the template's kinds of sheet as they are gathered, each fact once, with what is on record."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from .house import House
from .said import Said
from .unit import At, Seen
from .words.places import Place

NOT_KNOWN = "NOT-KNOWN"
PROGRAMME = "OWN"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a kind of sheet: values by field, and the sheet and row (from 0) it came from.

    ``sheet`` is -1 for what no sheet tells. ``group`` is the position that its columns are of, where a
    sheet has columns for each. ``roles`` says which role's column a field came from.
    """

    sheet: int
    row: int
    group: str
    values: dict[str, object]
    roles: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class OnRecord:
    """What the apps above have on record.

    ``places``: where units stand, by part and serial number (capitals), as registration and position or
    as nothing and station. ``makers``: of part numbers. ``maker_codes``, ``works``: codes. ``limits``:
    ``KIND WORK`` that a limit asks for of the whole kind; ``limited_parts``: by the same the part numbers, where limits
    name some only. ``totals``: the latest one stated of a unit (minutes, or a
    count), by part and serial number, measure and ``since new`` or ``since overhaul``. ``stamps``: what was read
    last on cylinders, by part and serial number: the day, and the values by field.
    """

    places: dict[tuple[str, str], tuple[str, str]] = field(default_factory=dict)
    makers: dict[str, str] = field(default_factory=dict)
    maker_codes: set[str] = field(default_factory=set)
    works: set[str] = field(default_factory=set)
    limits: set[str] = field(default_factory=set)
    limited_parts: dict[str, set[str]] = field(default_factory=dict)
    totals: dict[tuple[str, str, str, str], int] = field(default_factory=dict)
    stamps: dict[tuple[str, str], tuple[dt.date, Mapping[str, str]]] = field(default_factory=dict)


@dataclass(slots=True)
class Lines:
    """Lines by the name of their kind of sheet, each fact once."""

    day: dt.date
    house: House
    said: Said
    record: OnRecord
    by_kind: dict[str, list[Line]] = field(default_factory=dict)
    once: set[tuple[object, ...]] = field(default_factory=set)
    positions: dict[tuple[str, str], Place] = field(default_factory=dict)
    #: Where marks on the centre line were put, by aircraft type, in centimetres.
    marks: dict[str, list[tuple[int, int]]] = field(default_factory=dict)

    def add(
        self,
        kind: str,
        key: Sequence[object],
        at: At,
        values: Mapping[str, object],
        **roles: str,
    ) -> None:
        """This will add a line unless the fact of that key was said by a line before."""
        whole = (kind, *key)
        if whole in self.once:
            return
        self.once.add(whole)
        self.by_kind.setdefault(kind, []).append(Line(*at, dict(values), roles))


def type_of(registration: str, one: Seen | None, house: House, said: Said) -> str:
    """The type of an aircraft: on record, in its line, or as said; empty where nobody told."""
    named = house.aircraft.get(registration) or (one.type if one else "")
    return (named or said.types.get(registration) or said.type).upper()[:24]


def part_of(one: Seen, kind: str) -> str:
    return " ".join(one.part.upper().split()) or f"{NOT_KNOWN}-{kind}"[:40]


def station_code(house: House, said: Said) -> str:
    """The station that aircraft and spares belong to: as said, else the one on record."""
    return said.station.upper()[:8] or next(iter(house.stations), "MAIN")
