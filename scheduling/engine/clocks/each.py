"""What single clocks of each item say, whichever of them decides."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

import numpy as np

from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Facts, Ints
from scheduling.engine.basis.limits import Limit, RunsOut
from scheduling.engine.basis.months import NO_DATE, day_of
from scheduling.engine.basis.starts import subjects_of
from scheduling.engine.totals.subjects import Reckoner

from .due import clock_results, groups
from .measure import reckon_measure


def left_of(limits: Sequence[Limit], facts: Facts, codes: Collection[str], as_of: date) -> Ints:
    """What each item has left in these measures, whichever clock decides: of several clocks the least.
    UNKNOWN where none of them says."""
    day = day_of(as_of)
    least = np.full(len(facts.items), UNKNOWN)
    reckoner = Reckoner(facts, day)
    for limit, rows in groups(limits, facts):
        subjects = subjects_of(limit, facts, facts.items.take(rows), day)
        for clock in limit.clocks:
            if clock.measure in codes:
                one = reckon_measure(clock, subjects, reckoner)
                says = one.runs & (one.missing == 0)
                less = says & ((least[rows] == UNKNOWN) | (one.left < least[rows]))
                least[rows] = np.where(less, one.left, least[rows])
    return least


def ends_of(
    limits: Sequence[Limit], facts: Facts, runs_out: RunsOut, as_of: date
) -> tuple[Dates, Bools]:
    """The earliest day by the clocks of each item that run out in this way, NaT where none of them comes
    to one; and where one of them runs, or would if its facts were known."""
    day = day_of(as_of)
    on, asks = np.full(len(facts.items), NO_DATE), np.zeros(len(facts.items), dtype=bool)
    reckoner = Reckoner(facts, day)
    for limit, rows in groups(limits, facts):
        subjects = subjects_of(limit, facts, facts.items.take(rows), day)
        told = zip(limit.clocks, clock_results(subjects, reckoner), strict=True)
        for one in (one for clock, one in told if clock.runs_out == runs_out):
            on[rows] = np.fmin(on[rows], one.due_on)
            asks[rows] |= one.runs
    return on, asks
