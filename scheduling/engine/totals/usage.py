"""Totals of aircraft at any instant, and the rate at which they grow.

Between two readings a total is interpolated and rounded down; after the last it is the last: no
total is ever projected. Before the first reading it is unknown.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Facts, Indices, Instants, Ints
from scheduling.engine.basis.months import ONE_DAY

DAY_SECONDS = 86_400
# A group and a second of time in one sortable number: seconds within about 270 years of 1970.
_SPAN = 1 << 34
_MIDDLE = 1 << 33
FAR = _MIDDLE - 1


def seconds(at: Instants) -> Ints:
    return at.astype("datetime64[s]").astype("int64")


def end_of(days: Dates) -> Ints:
    """The end of each day (midnight that begins the next), in seconds; FAR past without a date."""
    known = ~np.isnat(days)
    ends: Ints = np.where(known, (days.astype("int64") + 1) * DAY_SECONDS, -FAR)
    return ends


def sort_key(group: Indices, second: Ints) -> Ints:
    """One number that sorts by group, then by time."""
    key: Ints = group * _SPAN + (second + _MIDDLE)
    return key


@dataclass(frozen=True, slots=True)
class Rates:
    """Per aircraft, of one measure: ``gain`` of the measure in ``span`` seconds, 0 where it does not
    grow (or none is known); ``base_at`` the instant of its last total in seconds."""

    gain: Ints
    span: Ints
    base_at: Ints


#: What is left is carried from one rate to the next in thousandths, rounded down.
_MILLI = 1000
_CENTURY = 36_525


class AircraftTotals:
    """Totals of the aircraft of a batch as of a day. ``now`` is the end of that day in seconds."""

    def __init__(self, facts: Facts, as_of: np.datetime64) -> None:
        self.facts = facts
        self.as_of = as_of
        self.now = (int(as_of.astype("int64")) + 1) * DAY_SECONDS
        self._rates: dict[int, Rates] = {}
        self._trailing: dict[int, tuple[Ints, Ints]] = {}

    @cached_property
    def _group(self) -> Indices:
        readings = self.facts.readings
        group: Indices = readings.aircraft * len(self.facts.measures) + readings.measure
        return group

    @cached_property
    def _at(self) -> Ints:
        return seconds(self.facts.readings.at)

    @cached_property
    def _keys(self) -> Ints:
        return sort_key(self._group, self._at)

    def at(self, measure: int, aircraft: Indices, second: Ints) -> Ints:
        """Total of each aircraft at each second; UNKNOWN before its first reading or for none."""
        if not len(self._keys):
            return np.full(len(aircraft), UNKNOWN)
        group = aircraft * len(self.facts.measures) + measure
        before = np.searchsorted(self._keys, sort_key(group, second), side="right") - 1
        after = np.minimum(before + 1, len(self._keys) - 1)
        before = np.maximum(before, 0)
        total = self.facts.readings.total
        known = (self._group[before] == group) & (self._at[before] <= second) & (aircraft >= 0)
        between = known & (self._group[after] == group) & (after > before)
        gap = np.where(between, self._at[after] - self._at[before], 1)
        gain = np.where(between, total[after] - total[before], 0)
        gone = np.where(between, second - self._at[before], 0)
        found: Ints = np.where(known, total[before] + gain * gone // gap, UNKNOWN)
        return found

    def rates(self, measure: int) -> Rates:
        """How fast each aircraft's total grows: the planner's figure, else the trailing readings."""
        if measure not in self._rates:
            self._rates[measure] = self._rates_of(measure)
        return self._rates[measure]

    def trailing(self, measure: int) -> tuple[Ints, Ints]:
        """What each aircraft flew of late, and in how many seconds, whatever is planned."""
        self.rates(measure)
        return self._trailing[measure]

    def _rates_of(self, measure: int) -> Rates:
        number = len(self.facts.aircraft)
        first, last = self._first_and_last(measure, number)
        some = last >= first
        at = self._at if len(self._at) else np.zeros(1, dtype="int64")
        base = np.where(some, np.minimum(at[np.where(some, last, 0)], self.now), self.now)
        since = np.maximum(base - self.facts.rate_days * DAY_SECONDS, at[np.where(some, first, 0)])
        every = np.arange(number)
        gain = self.at(measure, every, base) - self.at(measure, every, since)
        span = np.maximum(base - since, 1)
        moves = some & (base > since) & (gain > 0)
        trailing = np.where(moves, gain, 0)
        aircraft = self.facts.aircraft
        self._trailing[measure] = (trailing, span)
        planned = aircraft.per_day_milli[:, measure]
        return Rates(*_flown((trailing, span), aircraft.parked, planned), base)

    def _first_and_last(self, measure: int, number: int) -> tuple[Ints, Ints]:
        group = np.arange(number) * len(self.facts.measures) + measure
        first = np.searchsorted(self._group, group, side="left")
        last = np.searchsorted(self._group, group, side="right") - 1
        return first, last

    def days_until(
        self, measure: int, aircraft: Indices, left: Ints, base_on: Dates
    ) -> tuple[Ints, Bools]:
        """Days after ``base_on`` that ``left`` lasts, rounded down, and where there is such a number: not
        without a rate, nor where it would be a century away. What is known of days to come (parked,
        back in service, another planned rate) counts from its day on."""
        rates = self.rates(measure)
        if not len(rates.gain):
            return np.zeros(len(left), dtype="int64"), np.zeros(len(left), dtype=bool)
        row = np.maximum(aircraft, 0)
        gain, span = np.where(aircraft >= 0, rates.gain[row], 0), rates.span[row]
        days, moves = _lasts(left, gain, span)
        ahead = self.facts.ahead
        if ahead is not None and len(ahead):
            changes = np.flatnonzero((left >= 0) & np.isin(aircraft, ahead.aircraft))
            if len(changes):
                begins = (base_on[changes], gain[changes], span[changes])
                days[changes], moves[changes] = self._through_changes(
                    measure, aircraft[changes], left[changes], begins
                )
        return days, moves & (np.abs(days) < _CENTURY)

    def _through_changes(
        self, measure: int, aircraft: Indices, left: Ints, begins: tuple[Dates, Ints, Ints]
    ) -> tuple[Ints, Bools]:
        """As :meth:`days_until`, from one change of the aircraft's use to the next."""
        base_on, gain, span = begins
        ahead = self.facts.ahead
        assert ahead is not None
        trailing = tuple(one[ahead.aircraft] for one in self._trailing[measure])
        later = _flown(trailing, ahead.parked, ahead.per_day_milli[:, measure])  # type: ignore[arg-type]
        at = np.searchsorted(ahead.aircraft, aircraft, side="left")
        last = np.searchsorted(ahead.aircraft, aircraft, side="right")
        gone, rest = np.zeros(len(left), dtype="int64"), left * _MILLI
        days, moves = _lasts(rest, gain, span, _MILLI)
        goes_on = np.ones(len(left), dtype=bool)
        while goes_on.any():
            now = np.flatnonzero(goes_on)
            room = (ahead.from_on[at[now]] - ONE_DAY - base_on[now]).astype("int64") - gone[now]
            room = np.maximum(room, 0)
            outlasts = ~moves[now] | (days[now] >= room)
            goes_on[now[~outlasts]] = False
            now, room = now[outlasts], room[outlasts]
            used = room * gain[now] * DAY_SECONDS * _MILLI
            rest[now] = (rest[now] * span[now] - used) // span[now]
            gone[now] += room
            gain[now], span[now] = later[0][at[now]], later[1][at[now]]
            days[now], moves[now] = _lasts(rest[now], gain[now], span[now], _MILLI)
            at[now] += 1
            goes_on[now] = at[now] < last[now]
        return gone + days, moves


def _flown(trailing: tuple[Ints, Ints], parked: Bools, planned: Ints) -> tuple[Ints, Ints]:
    """Gain and its span in seconds: nothing where parked, the planner's figure, else as it was flown."""
    is_planned = planned >= 0
    gain = np.where(parked, 0, np.where(is_planned, planned, trailing[0]))
    return gain, np.where(is_planned, 1000 * DAY_SECONDS, trailing[1])


def _lasts(left: Ints, gain: Ints, span: Ints, parts: int = 1) -> tuple[Ints, Bools]:
    """Whole days that so many parts of a measure last at a rate, and where there is one."""
    moves = gain > 0
    days: Ints = left * span // (np.where(moves, gain, 1) * DAY_SECONDS * parts)
    return days, moves
