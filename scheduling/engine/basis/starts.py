"""The day that a clock counts from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .columns import Bools, Dates, Facts, Indices, Ints, Items
from .limits import Clock, Limit, Start
from .months import NO_DATE, day_of, stamped
from .result import Missing


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
        on, lacks, waits = _plain_start(clock.counts_from, clock, subjects)
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
        first, lacks, waits = _plain_start(clock.first_from, clock, subjects)
    return Starts(np.where(never, first, done), np.where(never, lacks, 0), never & waits, ~never)


def is_met(clock: Clock, items: Items) -> Bools:
    """Where the work was done on or after a clock's given date: that clock asked for it once."""
    return ~np.isnat(items.done_on) & (items.done_on >= day_of(clock.given_on))


def _work_day(clock: Clock, items: Items) -> Dates:
    """The date of the last work that counts; the day it was done where that date is not recorded."""
    dated = items.shop_released_on if clock.anchor == "shop_release" else items.released_on
    day = stamped(items.done_on, items.done_precision, clock.month_only_stamp)
    worked: Dates = np.where(np.isnat(dated), day, dated)
    return worked


def _plain_start(start: Start, clock: Clock, subjects: Subjects) -> tuple[Dates, Ints, Bools]:
    number = len(subjects)
    nought = np.zeros(number, dtype="int64")
    if start == "given_date":
        return np.full(number, day_of(clock.given_on)), nought, nought > 0
    made = subjects.manufactured(clock)
    if start == "manufacture":
        return made, np.where(np.isnat(made), int(Missing.MANUFACTURED), 0), nought > 0
    if subjects.unit is None:
        # An aircraft or a position is not fitted anywhere: it begins with the aircraft.
        return made, np.where(np.isnat(made), int(Missing.MANUFACTURED), 0), nought > 0
    return _fitting(start, subjects, made)


def _fitting(start: Start, subjects: Subjects, made: Dates) -> tuple[Dates, Ints, Bools]:
    units = subjects.facts.units
    first = units.first_installed_on[subjects.unit]
    on, fact, before = first, Missing.FIRST_INSTALLED, made
    if start == "this_installation":
        on, fact = units.installed_on[subjects.unit], Missing.INSTALLED
        before = np.where(np.isnat(first), made, first)
    unknown = np.isnat(on)
    fitted = subjects.aircraft >= 0
    earliest = np.where(unknown & fitted, before, on)
    return earliest, np.where(unknown & fitted, int(fact), 0), unknown & ~fitted
