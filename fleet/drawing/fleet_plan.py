"""The fleet's ground times on one line of months: a row for each aircraft, each a way to its list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fleet.words.said import day_words, weekday_words

from .time import Mark, Scale, percent

ROW = 34  # how tall the row of an aircraft is, px
HEAD = 22  # the axis above


@dataclass(frozen=True, slots=True)
class Move:
    """Where a ground time is moved, and what is said of it there besides its days."""

    href: str
    station: int
    people: int


@dataclass(frozen=True, slots=True)
class Ground:
    """A check or an overnight stop, with how many works are placed at it; where its list is read. ``can_do``: the
    only works that are possible there, empty: all; ``move``: None where it is not moved from here."""

    name: str
    starts_on: date
    ends_on: date
    station: str
    works: int
    href: str
    is_overnight: bool = False
    slot: str = ""
    can_do: tuple[str, ...] = ()
    move: Move | None = None

    @property
    def words(self) -> str:
        """``A24, Wed 3 Mar 2027 to 5 Mar 2027 at NRV, slot 2: 7 works``; of where not every work is possible which
        are."""
        span = weekday_words(self.starts_on)
        if self.ends_on != self.starts_on:
            span += f" to {day_words(self.ends_on)}"
        works = f"{self.works} work{'' if self.works == 1 else 's'}" if self.works else "nothing"
        where = f"{self.station}, slot {self.slot}" if self.slot else self.station
        only = f". Possible there: {', '.join(self.can_do)}" if self.can_do else ""
        if self.is_overnight and not self.can_do:
            only = ". No works are named for the stop or its station: every work counts as possible"
        return f"{self.name}, {span} at {where}: {works}{only}"


@dataclass(frozen=True, slots=True)
class Craft:
    """One aircraft: its ground times, and on which days something runs out that fits none (how much); how much is to
    be done now, and of how much it is unknown when it is due. Neither has a day to be drawn at."""

    registration: str
    href: str
    ground: tuple[Ground, ...] = ()
    unmet: tuple[tuple[date, int], ...] = ()
    now: int = 0
    unknown: int = 0

    @property
    def unmet_in_all(self) -> int:
        return sum(count for _, count in self.unmet)


@dataclass(frozen=True, slots=True)
class Block:
    """A ground time placed, in percent; ``label`` stands behind it, to its left where there is no room."""

    of: Ground
    x: str
    width: str
    label: str
    label_x: str
    is_left: bool


@dataclass(frozen=True, slots=True)
class Unmet:
    """A day on which something runs out that fits no check."""

    x: str
    count: int
    words: str


@dataclass(frozen=True, slots=True)
class Row:
    """One aircraft drawn."""

    of: Craft
    y: int
    blocks: tuple[Block, ...]
    unmet: tuple[Unmet, ...]


@dataclass(frozen=True, slots=True)
class FleetPlanDrawn:
    """The drawing: rows, the first days of months, how tall it is."""

    rows: tuple[Row, ...]
    marks: tuple[Mark, ...]
    tall: int
    from_on: date
    until_on: date

    @property
    def days(self) -> int:
        """How many days are across it."""
        return max((self.until_on - self.from_on).days, 1)


def fleet_plan(fleet: Sequence[Craft], today: date, until: date) -> FleetPlanDrawn:
    """Places each aircraft's ground times from today through a day; what is beyond is left out."""
    scale = Scale(today, until)
    rows = tuple(_row(each, at, scale) for at, each in enumerate(fleet))
    return FleetPlanDrawn(rows, tuple(scale.marks(14)), HEAD + ROW * len(rows) + 4, today, until)


def _row(of: Craft, at: int, scale: Scale) -> Row:
    blocks = tuple(
        _block(each, scale)
        for each in sorted(of.ground, key=lambda one: not one.is_overnight)  # checks lie on top
        if each.ends_on >= scale.from_on and each.starts_on <= scale.to_on
    )
    unmet = tuple(
        Unmet(scale.x(max(day, scale.from_on)), count, f"{count} by {day_words(day)}")
        for day, count in of.unmet
        if day <= scale.to_on
    )
    return Row(of, HEAD + at * ROW, blocks, unmet)


def _block(of: Ground, scale: Scale) -> Block:
    begin = scale.place(of.starts_on)
    end = max(scale.place(of.ends_on + timedelta(days=1)), begin + 0.6)
    is_left = begin > 85
    label = "" if of.is_overnight else (f"{of.name} · {of.works}" if of.works else of.name)
    return Block(
        of, percent(begin), percent(end - begin), label, percent(begin if is_left else end), is_left
    )
