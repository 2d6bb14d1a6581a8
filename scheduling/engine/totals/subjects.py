"""Totals of the subjects of a limit: at the start of a clock, and now."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scheduling.engine.basis.columns import UNKNOWN, Bools, Facts, Indices, Ints
from scheduling.engine.basis.limits import Clock
from scheduling.engine.basis.result import Missing
from scheduling.engine.basis.starts import Starts, Subjects
from scheduling.engine.basis.words import STARTS

from .units import Periods, Totals, UnitTotals
from .usage import AircraftTotals, end_of


@dataclass(frozen=True, slots=True)
class StartTotals:
    """``since_start``: no statement bears a total, so it counts from nought at the start."""

    start: Ints
    now: Ints
    missing: Ints
    since_start: Bools


class Reckoner:
    """The totals of one batch as of one day, indexed once however many clocks ask."""

    def __init__(self, facts: Facts, as_of: np.datetime64) -> None:
        self.facts = facts
        self.aircraft = AircraftTotals(facts, as_of)
        self.periods = Periods(facts)
        self._units: dict[int, UnitTotals] = {}

    def units(self, measure: int) -> UnitTotals:
        if measure not in self._units:
            self._units[measure] = UnitTotals(self.aircraft, self.periods, measure)
        return self._units[measure]

    def totals(self, clock: Clock, subjects: Subjects, starts: Starts, measure: int) -> StartTotals:
        """Totals at each start and now. A total recorded at the work wins over one reckoned."""
        from_new = counts_from_new(clock, starts, subjects)
        recorded = subjects.items.done_total[:, measure]
        recorded = np.where(starts.is_work, recorded, UNKNOWN)
        if subjects.unit is None:
            return self._of_aircraft(subjects, starts, measure, from_new, recorded)
        return self._of_units(subjects.unit, starts, measure, from_new, recorded)

    def _of_aircraft(
        self, subjects: Subjects, starts: Starts, measure: int, from_new: Bools, recorded: Ints
    ) -> StartTotals:
        aircraft = subjects.aircraft
        now = self.aircraft.at(measure, aircraft, np.full(len(aircraft), self.aircraft.now))
        start = self.aircraft.at(measure, aircraft, end_of(starts.on))
        start = np.where(recorded != UNKNOWN, recorded, np.where(from_new, 0, start))
        missing = np.where(now == UNKNOWN, int(Missing.READING), 0)
        missing |= np.where((start == UNKNOWN) & (now != UNKNOWN), int(Missing.TOTAL_AT_START), 0)
        return StartTotals(start, now, missing, np.zeros(len(aircraft), dtype=bool))

    def _of_units(
        self, unit: Indices, starts: Starts, measure: int, from_new: Bools, recorded: Ints
    ) -> StartTotals:
        units = self.units(measure)
        now = units.now(unit)
        is_recorded = recorded != UNKNOWN
        fixed = is_recorded | from_new
        begun_at = self.periods.fitted_that_day(unit, starts.on)
        start = _known(len(unit)) if fixed.all() else units.at(unit, begun_at)
        start_total = np.where(is_recorded, recorded, np.where(from_new, 0, start.total))
        missing = now.missing | np.where(fixed, 0, start.missing)
        lost = now.relative & from_new & ~is_recorded
        missing = missing | np.where(lost, int(Missing.LIFE_STATEMENT), 0)
        total = now.total
        apart = now.relative & ~lost
        if apart.any():
            # No statement: what was flown since the start stands for the difference of totals.
            today = np.full(len(unit), self.aircraft.now)
            flown, unread = units.flown(unit, begun_at, today)
            begun = units.is_recorded(unit, begun_at) | is_recorded
            start_total = np.where(apart & ~is_recorded, 0, start_total)
            total = np.where(apart, start_total + flown, total)
            total = np.where(apart & (unread | ~begun), UNKNOWN, total)
            missing = np.where(apart & unread, int(Missing.READING), missing)
            missing = np.where(apart & ~begun, int(Missing.TOTAL_AT_START), missing)
            start_total = np.where(apart & ~begun, UNKNOWN, start_total)
        return StartTotals(
            start_total,
            np.where(lost, UNKNOWN, total),
            missing,
            apart & ~is_recorded,
        )


def _known(number: int) -> Totals:
    """Stands for totals that nobody asks: each is recorded, or nought."""
    nought = np.zeros(number, dtype="int64")
    return Totals(nought, nought, nought > 0)


def counts_from_new(clock: Clock, starts: Starts, subjects: Subjects) -> Bools:
    """Where the clock counts from new, so that the total at its start is nought: from manufacture, or
    (for the worst case only) where the last work is not known. An aircraft is fitted nowhere: with its
    first installation, or this one, it begins as it does with manufacture."""
    start = clock.first_from if clock.counts_from == "last_done" else clock.counts_from
    is_new = start is None or STARTS[start].is_new
    is_new |= subjects.unit is None and start != "given_date"
    begins: Bools = np.full(len(starts.on), is_new) & ~starts.is_work
    return begins
