"""Which band a due item is in, against its aircraft's planned checks.

A check counts from its first day through its last: one that has begun and not ended by the day asked
is the aircraft's *next* check, as the work can still be done in it. An item lasts until a check that
begins on or before its due date. It is *at the next check* where the last of these is not behind the
aircraft's next check, overnight stops not counted: what one sees beside the aircraft's name. A check whose station cannot do an item's work is passed over for
that item. Where no check is planned, or none begins after the due date, the plan cannot say more:
*beyond the plan*. What is due within :data:`SOON_DAYS` is not left there: it is at the last check by which it can be
done, and where there is none, it falls due before any next check. So the order of bands is the order of days.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from typing import Protocol

import numpy as np
import numpy.typing as npt

from .columns import (
    Bools,
    Dates,
    Facts,
    Indices,
    Ints,
    Table,
    date_column,
    flag_column,
    index_column,
)
from .limits import Limit
from .months import day_of
from .result import State

_SPAN = 1 << 24
#: No check that is planned yet in so few days can be counted on: what is due by then needs a hand now.
SOON_DAYS = 30


class Band(IntEnum):
    """In the order of urgency. ``UNSERVICEABLE``: the unit is on an aircraft and not serviceable, or in one
    that is not, whatever its limit says. ``IN_STORE``: it is on none. ``QUIET``: nothing runs."""

    UNSERVICEABLE = 0
    OVERDUE = 1
    OUT_OF_PHASE = 2
    BEFORE_RETURN = 3
    NEXT_CHECK = 4
    LATER_CHECK = 5
    BEYOND_PLAN = 6
    IN_STORE = 7
    NO_BASIS = 8
    QUIET = 9


# The codes by which screens, export and command know them.
CODES: dict[Band, str] = {
    Band.UNSERVICEABLE: "unserviceable",
    Band.OVERDUE: "overdue",
    Band.OUT_OF_PHASE: "out-of-phase",
    Band.BEFORE_RETURN: "before-return",
    Band.NEXT_CHECK: "next-check",
    Band.LATER_CHECK: "later-check",
    Band.BEYOND_PLAN: "beyond-plan",
    Band.IN_STORE: "in-store",
    Band.NO_BASIS: "no-basis",
    Band.QUIET: "quiet",
}


@dataclass(frozen=True, slots=True)
class Planned(Table):
    """Planned checks, sorted by aircraft, then ``starts_on``. ``ends_on`` is their last day.
    ``ability`` points into the sets of work codes of :class:`Checks`, -1 for every work.
    ``is_stop``: a mere overnight stop."""

    aircraft: Indices = index_column()  # noqa: RUF009 (makes a dataclass field)
    starts_on: Dates = date_column()  # noqa: RUF009
    ends_on: Dates = date_column()  # noqa: RUF009
    ability: Indices = index_column()  # noqa: RUF009
    is_stop: Bools = flag_column()  # noqa: RUF009


@dataclass(frozen=True, slots=True)
class Checks:
    """The planned checks of a batch's aircraft, and the works that are possible where not all are."""

    planned: Planned
    abilities: tuple[frozenset[str], ...] = ()


class Ends(Protocol):
    """What a band is told by: of what the engine answers, or of anything else that has a last day."""

    @property
    def state(self) -> npt.NDArray[np.int8]: ...
    @property
    def is_past(self) -> Bools: ...
    @property
    def due_on(self) -> Dates: ...


def band_of(
    limits: Sequence[Limit],
    facts: Facts,
    due: Ends,
    checks: Checks,
    as_of: date,
    *,
    is_unfit: Bools | None = None,
) -> tuple[npt.NDArray[np.int8], Indices]:
    """The band of each item, and the row of the check it is due at (-1 where none is named).

    Named are the next check, a later check, and out of phase the check that comes too late. ``is_unfit``
    tells the items of units that are not serviceable where they are.
    """
    items = facts.items
    is_unit = items.unit >= 0
    aircraft = facts.aircraft_of_items()
    works = sorted({limit.work for limit in limits})
    of_limit = np.array([works.index(limit.work) for limit in limits], np.int64)
    told = Placeable(aircraft, due.due_on, of_limit[facts.items.limit], works)
    band, check = against_plan(told, checks, as_of)
    for holds, worth in (
        (_parked_then(facts, aircraft, due.due_on), Band.BEFORE_RETURN),
        (is_unit & (aircraft < 0), Band.IN_STORE),
        (due.state == State.QUIET, Band.QUIET),
        (due.state == State.NO_BASIS, Band.NO_BASIS),
        (np.zeros(1, bool) if is_unfit is None else is_unfit, Band.UNSERVICEABLE),
        (due.is_past, Band.OVERDUE),
    ):
        band = np.where(holds, worth, band)
        check = np.where(holds, -1, check)
    return band.astype("int8"), check


def _parked_then(facts: Facts, aircraft: Indices, due_on: Dates) -> Bools:
    """Where the aircraft is parked, as is known today, on the first day past a due date; without a date
    where it is parked to the end of what is known."""
    if not len(facts.aircraft):
        return np.zeros(len(aircraft), dtype=bool)
    on = aircraft >= 0
    parked: Bools = facts.aircraft.parked[aircraft] & on
    ahead = facts.ahead
    if ahead is None or not len(ahead):
        return parked
    keys = ahead.aircraft * _SPAN + ahead.from_on.astype("int64")
    past = np.where(np.isnat(due_on), _SPAN // 2 - 1, due_on.astype("int64") + 1)
    row = np.searchsorted(keys, aircraft * _SPAN + past, side="right") - 1
    row = np.maximum(row, 0)
    is_later = on & (ahead.aircraft[row] == aircraft) & (keys[row] <= aircraft * _SPAN + past)
    then: Bools = np.where(is_later, ahead.parked[row], parked)
    return then


@dataclass(frozen=True, slots=True)
class Placeable:
    """Items as the plan sees them: on which aircraft (its index), by which day, which work (a place in ``works``)."""

    aircraft: Indices
    due_on: Dates
    work: Indices
    works: Sequence[str]


#: The bands that the plan alone tells apart: others stay what they are, whatever checks there are.
BY_PLAN = (Band.OUT_OF_PHASE, Band.NEXT_CHECK, Band.LATER_CHECK, Band.BEYOND_PLAN)


def against_plan(items: Placeable, checks: Checks, as_of: date) -> tuple[Ints, Indices]:
    """The band of each item by the planned checks alone, and the row of the check as :func:`band_of` names it."""
    number = len(items.aircraft)
    band, check = np.full(number, int(Band.BEYOND_PLAN)), np.full(number, -1)
    planned = checks.planned
    to_come = planned.ends_on >= day_of(as_of)
    for works, rows in _kinds_of_work(items, checks):
        able = to_come & _able(checks, works)
        kept = np.flatnonzero(able)
        by = day_of(as_of) + SOON_DAYS
        found = _placed(planned.take(kept), items.aircraft[rows], items.due_on[rows], by)
        band[rows] = found[0]
        check[rows] = np.where(found[1] >= 0, kept[found[1]] if len(kept) else -1, -1)
    return _by_the_next(band, check, planned, (items.aircraft, to_come)), check


def _by_the_next(band: Ints, check: Indices, planned: Planned, of: tuple[Indices, Bools]) -> Ints:
    """*At the next check* or *a later* one, by the aircraft's next check that is no mere stop; where none
    is planned, as the stops tell it."""
    aircraft, to_come = of
    rows = np.flatnonzero(to_come & ~planned.is_stop)
    if not len(rows):
        return band
    at = np.searchsorted(planned.aircraft[rows], aircraft, side="left")
    next_one = rows[np.minimum(at, len(rows) - 1)]
    is_placed = (band == Band.NEXT_CHECK) | (band == Band.LATER_CHECK)
    is_placed &= planned.aircraft[next_one] == aircraft
    is_next = planned.starts_on[check] <= planned.starts_on[next_one]
    told: Ints = np.where(is_placed, np.where(is_next, Band.NEXT_CHECK, Band.LATER_CHECK), band)
    return told


def _kinds_of_work(items: Placeable, checks: Checks) -> list[tuple[str, Bools | slice]]:
    """Items by work, if it matters to any check; all in one otherwise."""
    if not (checks.planned.ability >= 0).any():
        return [("", slice(None))]
    return [
        (work, items.work == index)
        for index, work in enumerate(items.works)
        if (items.work == index).any()
    ]


def _able(checks: Checks, work: str) -> Bools:
    possible = [work in works for works in checks.abilities]
    able: Bools = np.array([*possible, True], dtype=bool)[checks.planned.ability]
    return able


def _placed(
    planned: Planned, aircraft: Indices, due_on: Dates, soon_by: np.datetime64
) -> tuple[Ints, Indices]:
    """Where each due date falls among the checks of its aircraft that are still to come."""
    keys = planned.aircraft * _SPAN + planned.starts_on.astype("int64")
    dated = ~np.isnat(due_on)
    day = np.where(dated, due_on.astype("int64"), _SPAN // 2 - 1)
    first = np.searchsorted(keys, aircraft * _SPAN - _SPAN // 2, side="left")
    after = np.searchsorted(keys, aircraft * _SPAN + _SPAN // 2 - 1, side="right")
    behind = np.searchsorted(keys, aircraft * _SPAN + day, side="right")
    lasts_until = behind - first
    band = np.full(len(aircraft), int(Band.BEYOND_PLAN))
    is_within = dated & ((behind < after) | ((due_on <= soon_by) & (aircraft >= 0)))
    band = np.where(is_within & (lasts_until >= 2), int(Band.LATER_CHECK), band)
    band = np.where(is_within & (lasts_until == 1), int(Band.NEXT_CHECK), band)
    band = np.where(is_within & (lasts_until == 0), int(Band.OUT_OF_PHASE), band)
    last = np.where(lasts_until == 0, first, behind - 1)
    return band, np.where(is_within & (first < after), last, -1)
