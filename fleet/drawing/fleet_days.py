"""The fleet day by day: a row for each aircraft, its ground times as blocks, what falls due as marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fleet.words.said import day_words

from .time import percent

DAYS = 60
ROW = 26  # how tall the row of an aircraft is, px
HEAD = 22  # the axis above


@dataclass(frozen=True, slots=True)
class GroundTime:
    """A check or an overnight stop, from its first to its last day."""

    name: str
    starts_on: date
    ends_on: date
    is_overnight: bool = False


@dataclass(frozen=True, slots=True)
class DueDay:
    """How many items of an aircraft fall due on a day, and for how many of them the plan names no check,
    or one that comes too late."""

    on: date
    items: int
    unmet: int = 0


@dataclass(frozen=True, slots=True)
class AircraftDays:
    """One aircraft: what is overdue or not serviceable already, what nobody can give a day, what falls due
    on which day, when it stands."""

    registration: str
    href: str
    overdue: int = 0
    unknown: int = 0
    due: tuple[DueDay, ...] = ()
    stands: tuple[GroundTime, ...] = ()

    @property
    def due_in_all(self) -> int:
        return sum(each.items for each in self.due)

    @property
    def first_due(self) -> DueDay | None:
        return min(self.due, key=lambda each: each.on, default=None)

    @property
    def next_check(self) -> GroundTime | None:
        checks = [each for each in self.stands if not each.is_overnight]
        return min(checks, key=lambda each: each.starts_on, default=None)

    @property
    def unmet(self) -> int:
        """How many fall due for which the plan names no check in time."""
        return sum(each.unmet for each in self.due)


@dataclass(frozen=True, slots=True)
class Block:
    """A ground time placed, in percent."""

    x: str
    width: str
    is_overnight: bool


@dataclass(frozen=True, slots=True)
class DueMark:
    """A day on which something falls due; ``is_late``: the plan names no check in time for something of it."""

    x: str
    items: int
    is_late: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One aircraft drawn."""

    of: AircraftDays
    y: int
    middle: int
    blocks: tuple[Block, ...]
    marks: tuple[DueMark, ...]


@dataclass(frozen=True, slots=True)
class FleetDays:
    """The drawing: rows, the first days of weeks, how tall it is."""

    rows: tuple[Row, ...]
    weeks: tuple[tuple[str, str], ...]
    tall: int
    from_on: date
    to_on: date


def fleet_days(aircraft: Sequence[AircraftDays], today: date, days: int = DAYS) -> FleetDays:
    """Places each aircraft's days from today; what is beyond is left out."""
    end = today + timedelta(days=days)
    rows = tuple(_row(each, at, today, days) for at, each in enumerate(aircraft))
    first = today + timedelta(days=(7 - today.weekday()) % 7)
    weeks = tuple(
        (_x(first, today, days), day_words(first).rsplit(" ", 1)[0])
        for first in (first + timedelta(days=7 * n) for n in range(days // 7))
    )
    return FleetDays(rows, weeks, HEAD + ROW * len(rows) + 4, today, end)


def _x(day: date, today: date, days: int) -> str:
    return percent(_place(day, today, days))


def _place(day: date, today: date, days: int) -> float:
    return min(100.0, max(0.0, (day - today).days * 100.0 / days))


def _row(of: AircraftDays, at: int, today: date, days: int) -> Row:
    top = HEAD + at * ROW
    end = today + timedelta(days=days)
    blocks = []
    for each in of.stands:
        if each.ends_on < today or each.starts_on > end:
            continue
        begin = _place(each.starts_on, today, days)
        until = _place(each.ends_on + timedelta(days=1), today, days)
        blocks.append(Block(percent(begin), percent(max(until - begin, 0.5)), each.is_overnight))
    marks = tuple(
        DueMark(_x(each.on, today, days), each.items, bool(each.unmet))
        for each in of.due
        if today <= each.on <= end
    )
    return Row(of, top, top + ROW // 2, tuple(blocks), marks)
