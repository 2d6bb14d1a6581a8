"""A clock in months or days: start, plus time not counted, plus the amount, then rounding."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from scheduling.engine.basis.amounts import Allowed, bands_at_due, choose, is_plain, plain
from scheduling.engine.basis.clockwork import ClockResult, blank, judged
from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Ints
from scheduling.engine.basis.limits import Clock, Limit, Rounds
from scheduling.engine.basis.months import NO_DATE, ONE_DAY, add_days, add_months, day_of, month_end
from scheduling.engine.basis.result import Missing
from scheduling.engine.basis.starts import Starts, Subjects, starts_of
from scheduling.engine.basis.traits import traits_of
from scheduling.engine.basis.words import COMPARES

from .store import excluded_days

#: What each word makes of start + amount.
_ROUNDED: Mapping[Rounds, Callable[[Dates], Dates]] = {
    "day": lambda reached: reached,
    "month_end": month_end,
}


def reckon_calendar(clock: Clock, subjects: Subjects) -> ClockResult:
    """What this clock says of each of the subjects as of a day."""
    starts = starts_of(clock, subjects)
    columns = blank(starts)
    born = subjects.manufactured(clock)
    start, from_original = starts.on, np.zeros(len(subjects), dtype=bool)
    if may_count_from_original(clock, subjects.limit):
        start, from_original = _original(clock, subjects, starts)
    counted = start
    if clock.runs != "always" and subjects.unit is not None:
        excluded, grows = excluded_days(subjects, clock, start)
        columns |= {"excluded": excluded, "is_growing": grows}
        counted = add_days(start, excluded)
    allowed, reached = _reached(clock, subjects, starts, counted, born)
    limit_on = _last_good(clock, reached)
    columns |= {
        "start_on": start,
        "from_original": from_original,
        "amount": allowed.value,
        "amount_row": allowed.row,
        "reached_on": reached,
        "limit_on": limit_on,
        "runs": allowed.runs & ~starts.waits,
        "missing": starts.missing | allowed.missing,
    }
    return judged(columns | _tolerated(clock, subjects, born, columns, counted))


def _reached(
    clock: Clock, subjects: Subjects, starts: Starts, counted: Dates, born: Dates
) -> tuple[Allowed, Dates]:
    """Start plus amount, before rounding; where amounts go by the age when it falls due, the first
    day on which the time gone by is as much as the age on that very day allows."""
    if is_plain(clock):
        allowed = plain(clock, len(counted))
        return allowed, _plus(clock, counted, allowed.value)
    traits = traits_of(clock, subjects, starts, born)
    bands = bands_at_due(clock)
    if len(bands) == 1:
        allowed = choose(clock, traits)
        return allowed, _plus(clock, counted, allowed.value)
    best: Allowed | None = None
    reached: Dates = np.full(len(counted), NO_DATE)
    for index in range(len(bands) - 1, -1, -1):
        allowed = choose(clock, traits, bands[index])
        due = _plus(clock, counted, allowed.value)
        if bands[index]:
            due = np.where(np.isnat(born), due, np.maximum(due, add_months(born, bands[index])))
        if best is None:
            best, reached = allowed, due
            continue
        # Without a date of manufacture the worst is the soonest of all steps.
        sooner = (due < reached) | np.isnat(reached)
        inside = due < add_months(born, bands[index + 1])
        best, reached = _merged(
            best, reached, allowed, due, np.where(np.isnat(born), sooner, inside)
        )
    assert best is not None
    unborn = np.where(np.isnat(born) & best.runs, int(Missing.MANUFACTURED), 0)
    return Allowed(best.value, best.row, best.missing | unborn, best.runs), reached


def _merged(
    best: Allowed, reached: Dates, other: Allowed, due: Dates, takes: Bools
) -> tuple[Allowed, Dates]:
    chosen = Allowed(
        np.where(takes, other.value, best.value),
        np.where(takes, other.row, best.row),
        np.where(takes, other.missing, best.missing),
        best.runs | other.runs,
    )
    return chosen, np.where(takes, due, reached)


def _plus(clock: Clock, start: Dates, value: Ints) -> Dates:
    add = add_months if clock.measure == "months" else add_days
    known = value != UNKNOWN
    if known.all():
        return add(start, value)
    reached: Dates = np.where(known, add(start, np.where(known, value, 0)), NO_DATE)
    return reached


def _last_good(clock: Clock, reached: Dates) -> Dates:
    last: Dates = _ROUNDED[clock.rounds](reached) - COMPARES[clock.compares].edge * ONE_DAY
    return last


def _variation_days(clock: Clock, limit: Limit, start: Dates, reached: Dates) -> Ints:
    """The tolerance in days for an interval; none for a clock that ends a life."""
    variation = limit.variation
    number = len(start)
    if clock.runs_out == "end_of_life" or not (variation.days or variation.percent):
        return np.zeros(number, dtype="int64")
    days = np.full(number, variation.days)
    if variation.percent:
        span = reached - start
        length = np.where(np.isnat(span), 0, span.astype("int64"))
        share = length * variation.percent.numerator // (variation.percent.denominator * 100)
        if variation.days_most is not None:
            share = np.minimum(share, variation.days_most)
        days = np.minimum(days, share) if variation.days else share
    return days


def may_count_from_original(clock: Clock, limit: Limit) -> bool:
    """Whether the next interval may count from when the last work was due, not from when it was done."""
    return clock.counts_from == "last_done" and (
        limit.next_from_original_due or clock.anchor == "original_due"
    )


def _original(clock: Clock, subjects: Subjects, starts: Starts) -> tuple[Dates, Bools]:
    """The original due date where the work was done inside its variation, early or late."""
    original = subjects.items.original_due_on
    if is_plain(clock):
        value = plain(clock, len(subjects)).value
    else:
        value = choose(
            clock, traits_of(clock, subjects, starts, subjects.manufactured(clock))
        ).value
    before = _plus(clock, original, np.where(value == UNKNOWN, UNKNOWN, -value))
    most = _variation_days(clock, subjects.limit, before, original)
    inside = starts.is_work & ~np.isnat(original)
    inside &= np.abs(starts.on - original) <= most.astype("timedelta64[D]")
    return np.where(inside, original, starts.on), inside


def backstop_of(clock: Clock, born: Dates) -> tuple[Dates, Ints]:
    """The day that nothing moves: the earlier of the given one and so many months from manufacture."""
    latest = np.full(len(born), day_of(clock.never_later_on))
    missing = np.zeros(len(born), dtype="int64")
    if clock.never_later_months is not None:
        from_new = _last_good(clock, add_months(born, clock.never_later_months))
        latest = np.fmin(latest, from_new)
        missing = np.where(np.isnat(born), int(Missing.MANUFACTURED), 0)
    return latest, missing


def _tolerated(
    clock: Clock,
    subjects: Subjects,
    born: Dates,
    columns: dict[str, Any],
    counted: Dates,
) -> dict[str, Any]:
    """Extension, backstop and variation, and whether the limit is past."""
    limit, limit_on = subjects.limit, columns["limit_on"]
    due_on = limit_on
    number = len(subjects)
    extended = capped = np.zeros(number, dtype=bool)
    ends_life = clock.runs_out == "end_of_life"
    if limit.extendable and not ends_life:
        days = subjects.items.extension_days
        if limit.extension_days_most is not None:
            days = np.minimum(days, limit.extension_days_most)
        due_on, extended = add_days(limit_on, days), days > 0
    until = due_on
    if not ends_life and (limit.variation.days or limit.variation.percent):
        most = _variation_days(clock, limit, counted, columns["reached_on"])
        until = np.maximum(due_on, add_days(limit_on, most))
    missing = columns["missing"]
    if clock.never_later_on is not None or clock.never_later_months is not None:
        latest, lacks = backstop_of(clock, born)
        capped = latest < due_on
        due_on, until = np.fmin(due_on, latest), np.fmin(until, latest)
        missing = missing | lacks
    is_past = due_on < subjects.as_of
    return {
        "due_on": due_on,
        "missing": missing,
        "is_extended": extended,
        "is_capped": capped,
        "variation_until_on": until,
        "is_past": is_past,
        "within_variation": is_past & (until >= subjects.as_of),
    }
