"""Totals of units: the latest life statement plus what was flown on aircraft since.

Period by period: the aircraft's total at the end of a period less that at its beginning, those read
at the movement before interpolated ones. Before the first statement it is that one less what was
flown until then, as far back as the recorded periods reach. Without any statement the total is not
known, but what was flown between two instants may be.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .columns import UNKNOWN, Bools, Dates, Indices, Ints
from .result import Missing
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
    """What a unit had flown by an instant in its recorded periods, and what of it is not known."""

    amount: Ints
    period: Indices  # the last that had begun
    unknown_from: Ints  # how many periods had begun, of all units before and this one, unread
    unknown_to: Ints
    unsure: Bools


class UnitTotals:
    """Totals of one measure of the units of a batch."""

    def __init__(self, aircraft: AircraftTotals, measure: int) -> None:
        self.aircraft = aircraft
        self.facts = aircraft.facts
        self.measure = measure
        self._index_periods()
        self._index_statements()

    def _index_periods(self) -> None:
        periods = self.facts.on_aircraft
        self._unit = periods.unit
        self._from = seconds(periods.from_at)
        self._to = np.where(np.isnat(periods.to_at), FAR, seconds(periods.to_at))
        self._keys = sort_key(self._unit, self._from)
        begun = self._read(periods.from_total[:, self.measure], self._from)
        ended = self._read(periods.to_total[:, self.measure], self._to)
        closed = self._to < FAR
        unread_from = begun == UNKNOWN
        self._is_unread = unread_from
        self._begun = np.where(unread_from, 0, begun)
        self._amount = np.where(closed, np.maximum(ended - self._begun, 0), 0)
        self._sum = np.concatenate(([0], np.cumsum(self._amount)))
        self._unread_from = np.concatenate(([0], np.cumsum(unread_from)))
        self._unread_to = np.concatenate(([0], np.cumsum(closed & (ended == UNKNOWN))))

    def _read(self, read: Ints, second: Ints) -> Ints:
        interpolated = self.aircraft.at(self.measure, self.facts.on_aircraft.aircraft, second)
        found: Ints = np.where(read == UNKNOWN, interpolated, read)
        return found

    def _index_statements(self) -> None:
        statements = self.facts.statements
        mine = statements.measure == self.measure
        self._stated_unit = statements.unit[mine]
        self._stated_at = end_of(statements.stated_on[mine])
        self._stated = statements.total[mine]
        self._stated_keys = sort_key(self._stated_unit, self._stated_at)

    def fitted_that_day(self, unit: Indices, day: Dates) -> Ints:
        """The end of each day in seconds; but the instant of fitting where it was fitted that day."""
        ends = end_of(day)
        if not len(self._keys):
            return ends
        last = np.searchsorted(self._keys, sort_key(unit, ends - 1), side="right") - 1
        last = np.maximum(last, 0)
        begun = self._from[last]
        that_day = (self._unit[last] == unit) & (begun >= ends - DAY_SECONDS) & (begun < ends)
        fitted: Ints = np.where(that_day, begun, ends)
        return fitted

    def flown(self, unit: Indices, start: Ints, end: Ints) -> tuple[Ints, Bools]:
        """Flown between two instants in recorded periods, and where that cannot be known."""
        one, two = self._flown_by(unit, start), self._flown_by(unit, end)
        # Unequal, as the second instant may be the earlier one: counted back from a statement.
        unread = (two.unknown_from != one.unknown_from) | (two.unknown_to != one.unknown_to)
        return two.amount - one.amount, unread | one.unsure | two.unsure

    def _flown_by(self, unit: Indices, second: Ints) -> _Flown:
        if not len(self._keys):
            nought = np.zeros(len(unit), dtype="int64")
            return _Flown(nought, nought - 1, nought, nought, nought > 0)
        first = np.searchsorted(self._keys, sort_key(unit, np.full(len(unit), -FAR)), side="left")
        last = np.searchsorted(self._keys, sort_key(unit, second), side="right") - 1
        begun = last >= first
        row = np.maximum(last, 0)
        inside = begun & (second < self._to[row])
        there = self.aircraft.at(self.measure, self.facts.on_aircraft.aircraft[row], second)
        # Totals read at the movements hold the interpolated ones between them, and at the fitting
        # itself nothing has been flown yet.
        at_fitting = inside & (second == self._from[row])
        most = np.where(self._to[row] < FAR, self._amount[row], there)
        partial = np.minimum(np.maximum(there - self._begun[row], 0), most)
        partial = np.where(at_fitting & ~self._is_unread[row], 0, partial)
        whole = self._sum[row] - self._sum[np.minimum(first, len(self._amount))]
        amount = np.where(begun, whole + np.where(inside, partial, self._amount[row]), 0)
        ended = np.where(begun, np.where(inside, row, row + 1), first)
        return _Flown(
            amount=amount,
            period=np.where(begun, last, -1),
            unknown_from=self._unread_from[np.where(begun, row + 1, first)],
            unknown_to=self._unread_to[ended],
            unsure=inside & (there == UNKNOWN) & (self._is_unread[row] | ~at_fitting),
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

    def at(self, unit: Indices, second: Ints) -> Totals:
        """The total of each unit at each instant."""
        before, after = self._statements_by(unit, second)
        if not self.facts.measures[self.measure].of_aircraft:
            return self._own_at(unit, before, after)
        borne_by = np.where(before >= 0, before, after)
        borne = borne_by >= 0
        row = np.maximum(borne_by, 0)
        base = np.where(borne, self._stated[row] if len(self._stated) else 0, 0)
        since = np.where(borne, self._stated_at[row] if len(self._stated) else 0, -FAR)
        flown, unread = self.flown(unit, since, second)
        new = self.facts.units.new_when_first_recorded[unit]
        covered = (before >= 0) | new | self.is_recorded(unit, second)
        missing = np.where(unread, int(Missing.READING), 0)
        missing = np.where(covered, missing, int(Missing.TOTAL_AT_START))
        relative = ~(borne | new)
        missing = np.where(relative, 0, missing)
        unknown = relative | (missing > 0)
        return Totals(np.where(unknown, UNKNOWN, base + flown), missing, relative)

    def is_recorded(self, unit: Indices, second: Ints) -> Bools:
        """Where the unit's recorded periods had begun by then."""
        begun: Bools = self._flown_by(unit, second).period >= 0
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
