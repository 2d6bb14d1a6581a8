"""What a unit's page and paper ask of the upper app that knows limits and totals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fleet.house.ports import Port
from fleet.models import User


@dataclass(frozen=True, slots=True)
class Ending:
    """What ends first of a unit and all inside it: the last good day, and of what, in words."""

    on: date
    words: str


#: Asked with a unit and a day; None where nothing of it or in it has a date.
ends_first: Port[[int, date], Ending | None] = Port("what ends first of a unit and all inside it")


@dataclass(frozen=True, slots=True)
class Overhauled:
    """Hours (in minutes) and cycles since the last overhaul; None where it cannot be known, for lack of
    ``lacks``. ``on`` is its day, ``words`` the work or paper that says so; a statement alone has no day."""

    on: date | None
    words: str
    minutes: int | None
    cycles: int | None
    lacks: str = ""


@dataclass(frozen=True, slots=True)
class LifeTotals:
    """A unit's hours (in minutes) and cycles since new at the end of a day; None where they cannot be known,
    for lack of ``lacks``. ``overhaul``: None of what was never overhauled by our records."""

    on: date
    minutes: int | None
    cycles: int | None
    lacks: str = ""
    overhaul: Overhauled | None = None


#: Asked with units and a day: the totals of each unit on record, by its key.
life_totals_of: Port[[Sequence[int], date], dict[int, LifeTotals]] = Port(
    "how long units have been in service, since new and since overhaul"
)


@dataclass(frozen=True, slots=True)
class Published:
    """A period that a published rule has for a cylinder's specification: in months, None where it asks for no
    test; ``start`` is the starting point of a limit, by its name."""

    start: str
    months: int | None
    words: str
    source: str
    more: str = ""


#: Asked with a specification and the marks stamped on a unit: what is published of it, the one that its marks choose
#: first; none of what no published table has.
published_periods_of: Port[[str, tuple[str, ...]], tuple[Published, ...]] = Port(
    "which published period a cylinder's specification has"
)

#: An act: the works done on a lot are recorded of one that was split off it too. Asked with the lot, the new lot, who
#: split it, the act's id and when.
works_of_lot_follow: Port[[int, int, User, UUID, datetime], None] = Port(
    "that the works done on a lot are recorded of what is split off it"
)
