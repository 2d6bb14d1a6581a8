"""Totals of units: the latest life statement plus what was flown on aircraft since.

Period by period: the aircraft's total at the end of a period less that at its beginning, those read
at the movement before interpolated ones. Before the first statement it is that one less what was
flown until then, as far back as the recorded periods reach. Without any statement the total is not
known, but what was flown between two instants may be.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Facts, Indices, Ints
from scheduling.engine.basis.result import Missing

from .usage import DAY_SECONDS, FAR, AircraftTotals, end_of, seconds, sort_key


@dataclass(frozen=True, slots=True)
class Totals:
    """Totals with the facts missing for them. ``relative``: no statement bears one, so it is unknown
    though nothing is missing for a difference."""

    total: Ints
    missing: Ints
    relative: Bools


@dataclass(frozen=True, slots=True)
class _Flown:
    """What a unit had flown by an instant in its recorded periods (``has_begun`` at all), and how
    many beginnings and ends until then, counted over the whole table, no reading tells."""

    amount: Ints
    has_begun: Bools
    unknown_from: Ints
    unknown_to: Ints
    unsure: Bools

    def take(self, rows: Indices) -> _Flown:
        return _Flown(
            self.amount[rows],
            self.has_begun[rows],
            self.unknown_from[rows],
            self.unknown_to[rows],
            self.unsure[rows],
        )


def _between(one: _Flown, two: _Flown) -> tuple[Ints, Bools]:
    """Flown from one instant to the other, and where that cannot be known. Unequal counts, as the
    second instant may be the earlier one: a total is counted back from a statement, too."""
    unread = (two.unknown_from != one.unknown_from) | (two.unknown_to != one.unknown_to)
    return two.amount - one.amount, unread | one.unsure | two.unsure


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of one recorded period (a row of the facts), in seconds, with the aircraft's totals at
    its two ends."""

    row: int
    begun: int
    ended: int
    first: int
    last: int


class Periods:
    """The recorded periods of all units on aircraft, indexed by time once for every measure."""

    def __init__(self, facts: Facts) -> None:
        periods = facts.on_aircraft
        self.unit = periods.unit
        self.aircraft = periods.aircraft
        self.begun = seconds(periods.from_at)
        self.ended = np.where(np.isnat(periods.to_at), FAR, seconds(periods.to_at))
        self.keys = sort_key(self.unit, self.begun)
        # One past the last unit, so that -1 (not a unit) and any unit have a place.
        self.first = np.searchsorted(self.unit, np.arange(len(facts.units) + 1), side="left")

    def __len__(self) -> int:
        return len(self.keys)

    def fitted_that_day(self, unit: Indices, day: Dates) -> Ints:
        """The end of each day in seconds; but the instant of fitting where it was fitted that day."""
        ends = end_of(day)
        if not len(self.keys):
            return ends
        last = np.searchsorted(self.keys, sort_key(unit, ends - 1), side="right") - 1
        last = np.maximum(last, 0)
        begun = self.begun[last]
        that_day = (self.unit[last] == unit) & (begun >= ends - DAY_SECONDS) & (begun < ends)
        fitted: Ints = np.where(that_day, begun, ends)
        return fitted


class UnitTotals:
    """Totals of one measure of the units of a batch."""

    def __init__(self, aircraft: AircraftTotals, periods: Periods, measure: int) -> None:
        self.aircraft = aircraft
        self.facts = aircraft.facts
        self.measure = measure
        self.of_aircraft = self.facts.measures[measure].of_aircraft
        self.periods = periods
        self._now: Totals | None = None
        if self.of_aircraft:
            self._index_periods()
        self._index_statements()

    def _index_periods(self) -> None:
        periods = self.periods
        told = self.facts.on_aircraft
        begun = self._read(told.from_total[:, self.measure], periods.begun)
        ended = self._read(told.to_total[:, self.measure], periods.ended)
        closed = periods.ended < FAR
        self._is_unread = begun == UNKNOWN
        self._begun = np.where(self._is_unread, 0, begun)
        self._amount = np.where(closed, np.maximum(ended - self._begun, 0), 0)
        self._sum = np.concatenate(([0], np.cumsum(self._amount)))
        self._unread_from = np.concatenate(([0], np.cumsum(self._is_unread)))
        self._unread_to = np.concatenate(([0], np.cumsum(closed & (ended == UNKNOWN))))

    def _read(self, read: Ints, second: Ints) -> Ints:
        if (read != UNKNOWN).all():
            return read
        interpolated = self.aircraft.at(self.measure, self.periods.aircraft, second)
        found: Ints = np.where(read == UNKNOWN, interpolated, read)
        return found

    def _index_statements(self) -> None:
        statements = self.facts.statements
        mine = statements.measure == self.measure
        self._stated_unit = statements.unit[mine]
        self._stated_at = end_of(statements.stated_on[mine])
        self._stated = statements.total[mine]
        self._stated_keys = sort_key(self._stated_unit, self._stated_at)
        if self.of_aircraft:
            self._flown_then = self._flown_by(self._stated_unit, self._stated_at)

    def flown(self, unit: Indices, start: Ints, end: Ints) -> tuple[Ints, Bools]:
        """Flown between two instants in recorded periods, and where that cannot be known."""
        return _between(self._flown_by(unit, start), self._flown_by(unit, end))

    def _flown_by(self, unit: Indices, second: Ints) -> _Flown:
        periods = self.periods
        if not len(periods):
            nought = np.zeros(len(unit), dtype="int64")
            return _Flown(nought, nought > 0, nought, nought, nought > 0)
        first = periods.first[unit]
        last = np.searchsorted(periods.keys, sort_key(unit, second), side="right") - 1
        begun = last >= first
        row = np.maximum(last, 0)
        inside = begun & (second < periods.ended[row])
        there = self.aircraft.at(self.measure, periods.aircraft[row], second)
        # Totals read at the movements hold the interpolated ones between them, and at the fitting
        # itself nothing has been flown yet.
        at_fitting = inside & (second == periods.begun[row]) & ~self._is_unread[row]
        whole_period = self._amount[row]
        most = np.where(periods.ended[row] < FAR, whole_period, there)
        partial = np.minimum(np.maximum(there - self._begun[row], 0), most)
        partial = np.where(inside, np.where(at_fitting, 0, partial), whole_period)
        before = self._sum[row] - self._sum[first]
        return _Flown(
            amount=np.where(begun, before + partial, 0),
            has_begun=begun,
            unknown_from=self._unread_from[np.where(begun, row + 1, first)],
            unknown_to=self._unread_to[np.where(begun, row + ~inside, first)],
            unsure=inside & (there == UNKNOWN) & ~at_fitting,
        )

    def _statements_by(self, unit: Indices, second: Ints) -> tuple[Indices, Indices]:
        """The latest statement by each instant, and the next after it; -1 for none."""
        number = len(self._stated_keys)
        if not number:
            none = np.full(len(unit), -1)
            return none, none
        after = np.searchsorted(self._stated_keys, sort_key(unit, second), side="right")
        before = after - 1
        has = (before >= 0) & (self._stated_unit[np.maximum(before, 0)] == unit)
        follows = (after < number) & (self._stated_unit[np.minimum(after, number - 1)] == unit)
        return np.where(has, before, -1), np.where(follows, after, -1)

    def now(self, unit: Indices) -> Totals:
        """The total of each unit now: reckoned once for all units, however many clocks ask."""
        if self._now is None:
            every = np.arange(len(self.facts.units))
            self._now = self.at(every, np.full(len(every), self.aircraft.now))
        now = self._now
        return Totals(now.total[unit], now.missing[unit], now.relative[unit])

    def at(self, unit: Indices, second: Ints) -> Totals:
        """The total of each unit at each instant."""
        before, after = self._statements_by(unit, second)
        if not self.of_aircraft:
            return self._own_at(unit, before, after)
        then = self._flown_by(unit, second)
        new = self.facts.units.new_when_first_recorded[unit]
        borne_by = np.where(before >= 0, before, after)
        borne = borne_by >= 0
        total = then.amount
        if len(self._stated):
            flown, unsure = _between(self._flown_then.take(borne_by), then)
            total = np.where(borne, self._stated[borne_by] + flown, total)
            unread = np.where(borne, unsure, self._unread_since_new(unit, then))
        else:
            unread = self._unread_since_new(unit, then)
        missing = np.where(unread, int(Missing.READING), 0)
        covered = (before >= 0) | new | then.has_begun
        missing = np.where(covered, missing, int(Missing.TOTAL_AT_START))
        relative = ~(borne | new)
        missing = np.where(relative, 0, missing)
        unknown = relative | (missing > 0)
        return Totals(np.where(unknown, UNKNOWN, total), missing, relative)

    def _unread_since_new(self, unit: Indices, then: _Flown) -> Bools:
        first = self.periods.first[unit]
        unread: Bools = self._unread_from[first] != then.unknown_from
        unread |= self._unread_to[first] != then.unknown_to
        unread |= then.unsure
        return unread

    def stretches(self, unit: int, since: int, until: int) -> list[Stretch]:
        """The parts of one unit's periods between two instants: what :meth:`flown` adds up."""
        found = []
        for row in range(int(self.periods.first[unit]), int(self.periods.first[unit + 1])):
            begun = max(int(self.periods.begun[row]), since)
            ended = min(int(self.periods.ended[row]), until)
            if begun < ended:
                ends = np.array([begun, ended])
                gone = self._flown_by(np.array([unit, unit]), ends).amount
                before = self._sum[row] - self._sum[self.periods.first[unit]]
                first, last = (self._begun[row] + gone - before).tolist()
                found.append(Stretch(row, begun, ended, first, last))
        return found

    def is_recorded(self, unit: Indices, second: Ints) -> Bools:
        """Where the unit's recorded periods had begun by then."""
        begun: Bools = self._flown_by(unit, second).has_begun
        return begun

    def _own_at(self, unit: Indices, before: Indices, after: Indices) -> Totals:
        """A measure of the unit's own stands where it was last stated."""
        stated = before >= 0
        new = self.facts.units.new_when_first_recorded[unit]
        total = np.full(len(unit), UNKNOWN)
        if len(self._stated):
            total = np.where(stated, self._stated[np.maximum(before, 0)], UNKNOWN)
        total = np.where(~stated & new, 0, total)
        later = np.where(after >= 0, int(Missing.TOTAL_AT_START), int(Missing.LIFE_STATEMENT))
        missing = np.where(stated | new, 0, later)
        return Totals(total, missing, np.zeros(len(unit), dtype=bool))
