"""When works were due that were done: what the next interval counts from, where they were done in time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from scheduling.engine.basis.clockwork import ClockResult
from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Facts, Ints
from scheduling.engine.basis.limits import Clock, Limit
from scheduling.engine.basis.months import NO_DATE, ONE_DAY, day_of
from scheduling.engine.basis.starts import Subjects, subjects_of
from scheduling.engine.basis.words import COMPARES
from scheduling.engine.totals.subjects import Reckoner

from .calendar import may_count_from_original, reckon_calendar
from .due import groups
from .measure import reckon_measure


def asks_original(limit: Limit) -> bool:
    """Whether any clock of a limit may count from when its last work was due."""
    return any(may_count_from_original(clock, limit) for clock in limit.clocks)


def originals(limits: Sequence[Limit], facts: Facts, as_of: date) -> tuple[Dates, Ints]:
    """Of each item the end of its present interval, without extension: the day by its clocks in months
    and days, and of each measure the total. Unknown where no clock says.

    A clock that does not count all time is left out: how much it will not count is not known yet.
    """
    day = day_of(as_of)
    on = np.full(len(facts.items), NO_DATE)
    totals = np.full((len(facts.items), len(facts.measures)), UNKNOWN)
    reckoner = Reckoner(facts, day)
    for limit, rows in groups(limits, facts):
        subjects = subjects_of(limit, facts, facts.items.take(rows), day)
        for clock in limit.clocks:
            if not may_count_from_original(clock, limit):
                continue
            if clock.is_calendar and clock.runs == "always":
                one = reckon_calendar(clock, subjects)
                ends = one.limit_on + COMPARES[clock.compares].edge * ONE_DAY
                on[rows] = np.fmin(on[rows], np.where(_says(clock, subjects, one), ends, NO_DATE))
            elif not clock.is_calendar:
                one = reckon_measure(clock, subjects, reckoner)
                column = totals[rows, facts.measure_index(clock.measure)]
                says = _says(clock, subjects, one) & ~one.since_start & (one.limit_at != UNKNOWN)
                nearer = says & ((column == UNKNOWN) | (one.limit_at < column))
                totals[rows, facts.measure_index(clock.measure)] = np.where(
                    nearer, one.limit_at, column
                )
    return on, totals


def _says(clock: Clock, subjects: Subjects, one: ClockResult) -> Bools:
    """Where the end is known. Of a first interval that began with a fitting it is not: which one that
    was then is not told."""
    says: Bools = one.runs & (one.missing == 0)
    if clock.first_from == "this_installation":
        says = says & ~np.isnat(subjects.items.done_on)
    return says
