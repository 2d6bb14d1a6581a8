"""A clock in hours, cycles or a measure of the unit's own: total at the start plus the amount."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from scheduling.engine.basis.amounts import Allowed, bands_at_due, choose, is_plain, plain
from scheduling.engine.basis.clockwork import ClockResult, blank, judged
from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Ints
from scheduling.engine.basis.limits import Clock, Limit
from scheduling.engine.basis.months import NO_DATE, ONE_DAY, add_days, age_months
from scheduling.engine.basis.result import Missing
from scheduling.engine.basis.starts import Starts, Subjects, starts_of
from scheduling.engine.basis.traits import traits_of
from scheduling.engine.basis.words import COMPARES
from scheduling.engine.totals.subjects import Reckoner, StartTotals, counts_from_new
from scheduling.engine.totals.usage import DAY_SECONDS

from .calendar import backstop_of, may_count_from_original


def reckon_measure(clock: Clock, subjects: Subjects, reckoner: Reckoner) -> ClockResult:
    """What this clock says of each of the subjects as of a day."""
    starts = starts_of(clock, subjects)
    columns = blank(starts)
    born = subjects.manufactured(clock)
    measure = subjects.facts.measure_index(clock.measure)
    allowed = _allowed(clock, subjects, starts, born)
    runs = allowed.runs & ~starts.waits
    totals = reckoner.totals(clock, subjects, starts, measure)
    # A total since new starts at nought whenever the unit was made.
    undated = np.where(counts_from_new(clock, starts, subjects), int(Missing.MANUFACTURED), 0)
    starts = replace(starts, missing=starts.missing & ~undated)
    missing = starts.missing | allowed.missing
    missing = missing | np.where(starts.missing == 0, totals.missing, 0)
    known = (allowed.value != UNKNOWN) & (totals.start != UNKNOWN)
    begun, from_original = _begun(clock, subjects, allowed, totals, measure)
    columns |= {
        "runs": runs,
        "missing": missing,
        "from_original": from_original,
        "amount": allowed.value,
        "amount_row": allowed.row,
        "start_total": begun,
        "limit_at": np.where(known, begun + np.where(known, allowed.value, 0), UNKNOWN),
        "total": totals.now,
        "since_start": totals.since_start,
    }
    columns |= _tolerated(clock, subjects, columns, measure)
    columns |= _dated(clock, subjects, reckoner, columns, measure)
    columns |= _capped(clock, columns, born, subjects.as_of)
    return judged(columns)


def _allowed(clock: Clock, subjects: Subjects, starts: Starts, born: Dates) -> Allowed:
    """The amount of each item. Hours have no birthday: an age when it falls due is the age on the
    day asked, so that on each day the amount is the one that its own age allows."""
    if is_plain(clock):
        return plain(clock, len(subjects))
    traits = traits_of(clock, subjects, starts, born)
    bands = bands_at_due(clock)
    if len(bands) == 1:
        return choose(clock, traits)
    age = age_months(born, np.full(len(subjects), subjects.as_of))
    allowed = choose(clock, traits, np.where(age == UNKNOWN, bands[-1], age))
    unborn = np.where((age == UNKNOWN) & allowed.runs, int(Missing.MANUFACTURED), 0)
    return Allowed(allowed.value, allowed.row, allowed.missing | unborn, allowed.runs)


def variation_of(clock: Clock, limit: Limit, amount: Ints, is_hours: bool) -> Ints:
    """The tolerance of a clock in hours or counts; none for one that ends a life."""
    variation = limit.variation
    number = variation.minutes if is_hours else variation.count
    if clock.runs_out == "end_of_life":
        return np.zeros(len(amount), dtype="int64")
    most = np.full(len(amount), number)
    if variation.percent:
        known = np.where(amount == UNKNOWN, 0, amount)
        share = known * variation.percent.numerator // (variation.percent.denominator * 100)
        most = np.minimum(most, share) if number else share
    return most


def _begun(
    clock: Clock,
    subjects: Subjects,
    allowed: Allowed,
    totals: StartTotals,
    measure: int,
) -> tuple[Ints, Bools]:
    """The total that the amount is added to: at the start, or at the original due where the work was
    done inside its variation."""
    limit = subjects.limit
    if not may_count_from_original(clock, limit):
        return totals.start, np.zeros(len(subjects), dtype=bool)
    is_hours = subjects.facts.measures[measure].is_hours
    original = subjects.items.original_due_total[:, measure]
    most = variation_of(clock, limit, allowed.value, is_hours)
    inside = ~np.isnat(subjects.items.done_on) & (original != UNKNOWN) & (totals.start != UNKNOWN)
    inside &= ~totals.since_start & (np.abs(totals.start - original) <= most)
    return np.where(inside, original, totals.start), inside


def _tolerated(
    clock: Clock, subjects: Subjects, columns: dict[str, Any], measure: int
) -> dict[str, Any]:
    """Extension, the most that is ever allowed, and variation, in the clock's measure."""
    limit, limit_at = subjects.limit, columns["limit_at"]
    is_hours = subjects.facts.measures[measure].is_hours
    more = np.zeros(len(subjects), dtype="int64")
    if limit.extendable and clock.runs_out != "end_of_life":
        items = subjects.items
        more = items.extension_minutes if is_hours else items.extension_count
        most = limit.extension_minutes_most if is_hours else limit.extension_count_most
        more = more if most is None else np.minimum(more, most)
    known = limit_at != UNKNOWN
    due_at = np.where(known, limit_at + more, UNKNOWN)
    until = np.maximum(due_at, limit_at + variation_of(clock, limit, columns["amount"], is_hours))
    capped = np.zeros(len(subjects), dtype=bool)
    missing = columns["missing"]
    if clock.never_later_total is not None:
        capped = known & (clock.never_later_total < due_at) & ~columns["since_start"]
        due_at = np.where(capped, clock.never_later_total, due_at)
        until = np.where(known, np.minimum(until, clock.never_later_total), UNKNOWN)
        lacks = np.where(columns["since_start"], int(Missing.LIFE_STATEMENT), 0)
        missing = missing | lacks
    return {
        "due_at": due_at,
        "variation_until_at": np.where(known, until, UNKNOWN),
        "is_capped": capped,
        "is_extended": more > 0,
        "missing": missing,
    }


def _dated(
    clock: Clock,
    subjects: Subjects,
    reckoner: Reckoner,
    columns: dict[str, Any],
    measure: int,
) -> dict[str, Any]:
    """What is left, whether it is past, and the day it comes to at the aircraft's rate."""
    due_at, total = columns["due_at"], columns["total"]
    known = (due_at != UNKNOWN) & (total != UNKNOWN)
    left = np.where(known, due_at - np.where(known, total, 0), UNKNOWN)
    edge = COMPARES[clock.compares].edge
    is_past = known & (left < edge)
    until = columns["variation_until_at"]
    within = is_past & (until - np.where(known, total, 0) >= edge)
    dates = {"left": left, "is_past": is_past, "within_variation": within}
    if not subjects.facts.measures[measure].of_aircraft:
        return dates | {"no_rate": known & ~is_past}
    aircraft = reckoner.aircraft
    base_on = _base_on(subjects, reckoner, measure)
    still = np.where(known, left - edge, 0)
    days, moves = aircraft.days_until(measure, subjects.aircraft, still, base_on)
    moves &= known
    due_on = np.where(moves, add_days(base_on, np.where(moves, days, 0)), NO_DATE)
    # The total tells what is past; a date from a rate only follows it.
    as_of = subjects.as_of
    due_on = np.where(is_past, np.minimum(due_on, as_of - ONE_DAY), np.maximum(due_on, as_of))
    return dates | {
        "due_on": due_on,
        "limit_on": due_on,
        "base_on": base_on,
        "is_projected": moves,
        "no_rate": known & ~moves,
    }


def _base_on(subjects: Subjects, reckoner: Reckoner, measure: int) -> Dates:
    """The day of the last total that a projection goes on from: not before the unit's fitting."""
    base_at = reckoner.aircraft.rates(measure).base_at
    if not len(base_at):
        return np.full(len(subjects), NO_DATE)
    day = ((base_at - 1) // DAY_SECONDS).astype("datetime64[D]")[subjects.aircraft]
    if subjects.unit is None:
        return day
    fitted = subjects.facts.units.installed_on[subjects.unit]
    later: Dates = np.fmax(day, fitted)
    return later


def _capped(
    clock: Clock, columns: dict[str, Any], born: Dates, as_of: np.datetime64
) -> dict[str, Any]:
    """The day that nothing moves also ends a clock in hours."""
    if clock.never_later_on is None and clock.never_later_months is None:
        return {}
    latest, missing = backstop_of(clock, born)
    due_on = columns["due_on"]
    # A count that is used up is past on no day that is known, and not on a day to come.
    used_up = columns["is_past"] & np.isnat(due_on) & (latest >= as_of)
    latest = np.where(used_up, NO_DATE, latest)
    capped = (latest < due_on) | (np.isnat(due_on) & ~np.isnat(latest))
    gone = latest < as_of
    return {
        "due_on": np.fmin(due_on, latest),
        "is_capped": columns["is_capped"] | capped,
        "is_projected": columns["is_projected"] & ~capped,
        "no_rate": columns["no_rate"] & np.isnat(latest),
        "is_past": columns["is_past"] | gone,
        "within_variation": columns["within_variation"] & ~gone,
        "missing": columns["missing"] | missing,
    }
