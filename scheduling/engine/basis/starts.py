"""The day that a clock counts from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from .columns import Bools, Dates, Facts, Indices, Ints, Items
from .limits import Clock, Limit, Start
from .months import NO_DATE, day_of, stamped
from .result import Missing
from .words import ANCHORS


@dataclass(frozen=True, slots=True)
class Subjects:
    """The items of one limit with what is known of their subjects. ``unit`` is None for a limit on
    aircraft, positions or a population; ``aircraft`` is where each is now, -1 for nowhere."""

    limit: Limit
    facts: Facts
    items: Items
    unit: Indices | None
    aircraft: Indices
    as_of: np.datetime64

    def __len__(self) -> int:
        return len(self.aircraft)

    def manufactured(self, clock: Clock) -> Dates:
        if self.unit is not None:
            units = self.facts.units
            born, precision = units.manufactured_on, units.manufactured_precision
            return stamped(born[self.unit], precision[self.unit], clock.month_only_stamp)
        if not len(self.facts.aircraft):
            return np.full(len(self), NO_DATE)
        on = self.facts.aircraft.manufactured_on[self.aircraft]
        made: Dates = np.where(self.aircraft >= 0, on, NO_DATE)
        return made


def subjects_of(limit: Limit, facts: Facts, items: Items, as_of: np.datetime64) -> Subjects:
    if limit.subject == "unit":
        return Subjects(limit, facts, items, items.unit, facts.units.aircraft[items.unit], as_of)
    return Subjects(limit, facts, items, None, items.aircraft, as_of)


Begun = tuple[Dates, Ints, Bools]


@dataclass(frozen=True, slots=True)
class Starts:
    """``on`` is the day, or where a fact is ``missing`` the earliest it can have been (NaT if
    nothing is known). ``waits``: not fitted yet, so the clock has not begun, or met by a work since
    its given date. ``is_work``: the last work is the start."""

    on: Dates
    missing: Ints
    waits: Bools
    is_work: Bools


def starts_of(clock: Clock, subjects: Subjects) -> Starts:
    """Where each item's clock counts from, before any shift."""
    number = len(subjects)
    never = np.isnat(subjects.items.done_on)
    if clock.counts_from != "last_done":
        on, lacks, waits = _BEGUN[clock.counts_from](clock, subjects)
        if clock.counts_from == "given_date":
            waits = waits | is_met(clock, subjects.items)
        return Starts(on, lacks, waits, np.zeros(number, dtype=bool))
    done = _work_day(clock, subjects.items)
    if not never.any():
        nought = np.zeros(number, dtype="int64")
        return Starts(done, nought, nought > 0, ~never)
    if clock.first_from is None:
        first = subjects.manufactured(clock)
        lacks = np.full(number, int(Missing.LAST_DONE))
        waits = np.zeros(number, dtype=bool)
    else:
        first, lacks, waits = _BEGUN[clock.first_from](clock, subjects)
    return Starts(np.where(never, first, done), np.where(never, lacks, 0), never & waits, ~never)


def is_met(clock: Clock, items: Items) -> Bools:
    """Where the work was done on or after a clock's given date: that clock asked for it once."""
    return ~np.isnat(items.done_on) & (items.done_on >= day_of(clock.given_on))


def _work_day(clock: Clock, items: Items) -> Dates:
    """The date of the last work that counts; the day it was done where that date is not recorded."""
    dated: Dates = getattr(items, ANCHORS[clock.anchor].dated)
    day = stamped(items.done_on, items.done_precision, clock.month_only_stamp)
    worked: Dates = np.where(np.isnat(dated), day, dated)
    return worked


def _given(clock: Clock, subjects: Subjects) -> Begun:
    nought = np.zeros(len(subjects), dtype="int64")
    return np.full(len(subjects), day_of(clock.given_on)), nought, nought > 0


def _made(clock: Clock, subjects: Subjects) -> Begun:
    made = subjects.manufactured(clock)
    nought = np.zeros(len(subjects), dtype="int64")
    return made, np.where(np.isnat(made), int(Missing.MANUFACTURED), 0), nought > 0


def _first_fitted(clock: Clock, subjects: Subjects) -> Begun:
    if subjects.unit is None:
        # An aircraft or a position is not fitted anywhere: it begins with the aircraft.
        return _made(clock, subjects)
    first = subjects.facts.units.first_installed_on[subjects.unit]
    return _fitted(subjects, first, Missing.FIRST_INSTALLED, subjects.manufactured(clock))


def _now_fitted(clock: Clock, subjects: Subjects) -> Begun:
    if subjects.unit is None:
        return _made(clock, subjects)
    units, made = subjects.facts.units, subjects.manufactured(clock)
    first = units.first_installed_on[subjects.unit]
    before: Dates = np.where(np.isnat(first), made, first)
    return _fitted(subjects, units.installed_on[subjects.unit], Missing.INSTALLED, before)


def _fitted(subjects: Subjects, on: Dates, fact: Missing, before: Dates) -> Begun:
    """Fitted on a day; not before another where the day is not known; not begun in store."""
    unknown = np.isnat(on)
    fitted = subjects.aircraft >= 0
    earliest = np.where(unknown & fitted, before, on)
    return earliest, np.where(unknown & fitted, int(fact), 0), unknown & ~fitted


#: Of each start the day, what is missing for it, and whether the clock has not begun. The last work,
#: which not every item has, is :func:`starts_of`'s own.
_BEGUN: Mapping[Start, Callable[[Clock, Subjects], Begun]] = {
    "manufacture": _made,
    "first_installation": _first_fitted,
    "this_installation": _now_fitted,
    "given_date": _given,
}
