"""Time that a clock does not count, in whole days: in store up to a cap, at a ratio, not installed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from scheduling.engine.basis.columns import Bools, Dates, Facts, Indices, Ints
from scheduling.engine.basis.limits import Clock, Runs
from scheduling.engine.basis.months import add_months
from scheduling.engine.basis.starts import Subjects


@dataclass(frozen=True, slots=True)
class Spans:
    """Parts of times after a start: which item each belongs to, from and to (half open)."""

    item: Indices
    from_on: Dates
    to_on: Dates
    is_open: Bools


#: Days that are not counted, and whether they still grow.
NotCounted = tuple[Ints, Bools]


def spans_of(
    unit: Indices, start: Dates, until: Dates, table: tuple[Indices, Dates, Dates]
) -> Spans:
    """The parts that lie between ``start`` and ``until`` of each item's rows in a table of times
    (unit, from, to; NaT still there) that is sorted by unit."""
    rows_unit, rows_from, rows_to = table
    first = np.searchsorted(rows_unit, unit, side="left")
    number = np.searchsorted(rows_unit, unit, side="right") - first
    item = np.repeat(np.arange(len(unit)), number)
    offset = np.arange(len(item)) - np.repeat(np.cumsum(number) - number, number)
    row = np.repeat(first, number) + offset
    to_on = rows_to[row]
    still = np.isnat(to_on) | (to_on > until[item])
    from_on = np.maximum(rows_from[row], start[item])
    to_on = np.where(still, until[item], to_on)
    some = (to_on > from_on) | (still & (to_on == from_on))
    return Spans(item[some], from_on[some], to_on[some], still[some])


def excluded_days(subjects: Subjects, clock: Clock, start: Dates) -> NotCounted:
    """Days after each item's start that the clock does not count, and whether they still grow.

    Only for units. Zero where the start is unknown or after the day asked.
    """
    unit, as_of = subjects.unit, subjects.as_of
    assert unit is not None
    until = np.full(len(unit), as_of)
    usable = np.where(np.isnat(start), as_of, np.minimum(start, until))
    return _NOT_COUNTED[clock.runs](clock, subjects.facts, unit, usable, until)


def _in_store(facts: Facts, unit: Indices, start: Dates, until: Dates) -> Spans:
    store = facts.in_store
    return spans_of(unit, start, until, (store.unit, store.from_on, store.to_on))


def _sum(item: Indices, days: Ints | Bools, number: int) -> Ints:
    total: Ints = np.bincount(item, weights=days, minlength=number).astype("int64")
    return total


def _length(spans: Spans) -> Ints:
    length: Ints = (spans.to_on - spans.from_on).astype("int64")
    return length


def _nothing(clock: Clock, facts: Facts, unit: Indices, start: Dates, until: Dates) -> NotCounted:
    nought = np.zeros(len(unit), dtype="int64")
    return nought, nought > 0


def _at_ratio(clock: Clock, facts: Facts, unit: Indices, start: Dates, until: Dates) -> NotCounted:
    assert clock.store_ratio is not None
    rest = 1 - clock.store_ratio
    spans, number = _in_store(facts, unit, start, until), len(unit)
    days = _sum(spans.item, _length(spans), number) * rest.numerator // rest.denominator
    return days, _sum(spans.item, spans.is_open, number) > 0


def _up_to_cap(clock: Clock, facts: Facts, unit: Indices, start: Dates, until: Dates) -> NotCounted:
    assert clock.store_cap_months is not None
    spans, number = _in_store(facts, unit, start, until), len(unit)
    if clock.before_first_fitting:
        spans = _before_first_fitting(facts, spans, unit, start)
    most = (add_months(spans.from_on, clock.store_cap_months) - spans.from_on).astype("int64")
    length = _length(spans)
    if clock.store_cap_each:
        days = _sum(spans.item, np.minimum(length, most), number)
        return days, _sum(spans.item, spans.is_open & (length < most), number) > 0
    # One allowance: its months are reckoned from the first of the times in store.
    allowance = np.zeros(number, dtype="int64")
    allowance[spans.item[::-1]] = most[::-1]
    in_store = _sum(spans.item, length, number)
    grows = (_sum(spans.item, spans.is_open, number) > 0) & (in_store < allowance)
    return np.minimum(in_store, allowance), grows


def _installed(facts: Facts) -> tuple[Indices, Dates, Dates]:
    periods = facts.on_aircraft
    return (
        periods.unit,
        periods.from_at.astype("datetime64[D]"),
        periods.to_at.astype("datetime64[D]"),
    )


def _before_first_fitting(facts: Facts, spans: Spans, unit: Indices, start: Dates) -> Spans:
    """Only what was in store before the first fitting on or after the start."""
    periods_unit, periods_from, _ = _installed(facts)
    first = np.full(len(unit), np.datetime64("9999-01-01"))
    low = np.searchsorted(periods_unit, unit, side="left")
    high = np.searchsorted(periods_unit, unit, side="right")
    item = np.repeat(np.arange(len(unit)), high - low)
    offset = np.arange(len(item)) - np.repeat(np.cumsum(high - low) - (high - low), high - low)
    fitted = periods_from[np.repeat(low, high - low) + offset]
    later = fitted >= start[item]
    # Sorted by time: written backwards, the first of each item is written last.
    first[item[later][::-1]] = fitted[later][::-1]
    kept = spans.from_on < first[spans.item]
    return Spans(spans.item[kept], spans.from_on[kept], spans.to_on[kept], spans.is_open[kept])


def _not_installed(
    clock: Clock, facts: Facts, unit: Indices, start: Dates, until: Dates
) -> NotCounted:
    """Days off an aircraft since the start, or since the unit's first recorded stay if later."""
    spans = spans_of(unit, start, until, _installed(facts))
    installed = _sum(spans.item, _length(spans), len(unit))
    recorded = _first_recorded(facts, unit)
    since = np.minimum(np.maximum(start, recorded), until)
    off = (until - since).astype("int64") - installed
    is_off = _sum(spans.item, spans.is_open, len(unit)) == 0
    return off, is_off & (recorded <= until)


def _first_recorded(facts: Facts, unit: Indices) -> Dates:
    far = np.datetime64("9999-01-01")
    found = np.full(len(unit), far)
    store = facts.in_store
    for rows_unit, rows_from in ((store.unit, store.from_on), _installed(facts)[:2]):
        if len(rows_unit):
            row = np.searchsorted(rows_unit, unit, side="left")
            row = np.minimum(row, len(rows_unit) - 1)
            mine = rows_unit[row] == unit
            found = np.where(mine, np.minimum(found, rows_from[row]), found)
    return found


_NOT_COUNTED: Mapping[Runs, Callable[[Clock, Facts, Indices, Dates, Dates], NotCounted]] = {
    "always": _nothing,
    "installed_only": _not_installed,
    "store_at_ratio": _at_ratio,
    "store_up_to_cap": _up_to_cap,
}
