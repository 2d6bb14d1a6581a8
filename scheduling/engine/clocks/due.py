"""The due engine: every item of a batch, from its limit's clocks. One unit is a batch of one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields
from datetime import date
from typing import Any

import numpy as np

from scheduling.engine.basis.clockwork import ClockResult
from scheduling.engine.basis.columns import UNKNOWN, Bools, Facts, Ints
from scheduling.engine.basis.limits import Clock, Limit
from scheduling.engine.basis.months import NO_DATE, day_of, days_between
from scheduling.engine.basis.result import Due, Missing, State, Stop
from scheduling.engine.basis.starts import Subjects, subjects_of
from scheduling.engine.basis.words import COMPARES
from scheduling.engine.totals.due import totals_told
from scheduling.engine.totals.subjects import Reckoner

from .calendar import reckon_calendar
from .measure import reckon_measure

# Behind every day; of clocks without one there is room for what is left of each measure.
_FAR, _MOST_LEFT = 1 << 40, 1 << 33
_STOPS = {
    "until_emptied": Stop.UNTIL_EMPTIED,
    "may_not_fly": Stop.MAY_NOT_FLY,
    "end_of_life": Stop.END_OF_LIFE,
}
_DATES = ("due_on", "start_on", "runner_up_on", "worst_on", "variation_until_on")
_FLAGS = (
    "is_past",
    "due_on_projected",
    "may_fly",
    "may_be_past",
    "may_refill",
    "may_install",
    "within_variation",
    "is_extended",
    "is_growing",
    "no_rate",
)
_SMALL = {"state": "int8", "stop": "int8", "decided_by": "int16", "runner_up": "int16"}


def reckon(limits: Sequence[Limit], facts: Facts, as_of: date) -> Due:
    """What stops each item first (or last, as its limit says), as of a day.

    ``limits`` is what ``facts.items.limit`` points into. ValueError for items that are not sorted
    by limit, or a clock whose measure the facts do not have.
    """
    day = day_of(as_of)
    columns = _blank(len(facts.items))
    reckoner = Reckoner(facts, day)
    for limit, rows in groups(limits, facts):
        subjects = subjects_of(limit, facts, facts.items.take(rows), day)
        results = clock_results(subjects, reckoner)
        for name, values in _fold(subjects, results).items():
            columns[name][rows] = values
    return Due(**columns)


def clock_results(subjects: Subjects, reckoner: Reckoner) -> list[ClockResult]:
    """Each clock of the limit, over all of its items."""
    return [
        reckon_calendar(clock, subjects)
        if clock.is_calendar
        else reckon_measure(clock, subjects, reckoner)
        for clock in subjects.limit.clocks
    ]


def groups(limits: Sequence[Limit], facts: Facts) -> Iterator[tuple[Limit, slice]]:
    """Each limit with the rows of its items. ValueError where they are not sorted by limit."""
    of = facts.items.limit
    if not len(of):
        return
    steps = np.diff(of)
    if (steps < 0).any():
        raise ValueError("The items are not sorted by limit.")
    starts = [0, *(np.flatnonzero(steps) + 1).tolist()]
    for begin, end in zip(starts, [*starts[1:], len(of)], strict=True):
        yield limits[int(of[begin])], slice(begin, end)


def _blank(number: int) -> dict[str, Any]:
    columns: dict[str, Any] = {}
    for one in fields(Due):
        if one.name in _DATES:
            columns[one.name] = np.full(number, NO_DATE)
        elif one.name in _FLAGS:
            columns[one.name] = np.zeros(number, dtype=bool)
        else:
            columns[one.name] = np.full(number, UNKNOWN)
    for name, kind in _SMALL.items():
        columns[name] = np.full(number, -1, dtype=kind)
    columns["missing"] = np.zeros(number, dtype="int32")
    columns["other_measure"] = np.full(number, -1)
    return columns


def _fold(subjects: Subjects, results: list[ClockResult]) -> dict[str, Any]:
    """One answer of all the clocks of a limit."""
    limit = subjects.limit
    number = len(subjects)
    if not results:
        return {
            "state": State.NO_BASIS,
            "missing": int(Missing.NO_CLOCK),
            "may_fly": True,
            "may_be_past": True,
        }
    is_last = limit.when == "last"
    keys = _keys(subjects, results, is_last)
    order = np.argsort(-keys if is_last else keys, axis=0, kind="stable")
    first = order[0]
    counts = np.abs(keys) < 2 * _FAR
    missing = np.bitwise_or.reduce([one.missing for one in results])
    runs = np.logical_or.reduce([one.runs for one in results])
    is_past = _is_past(results, missing, is_last)
    lacks = (missing != 0) & ~is_past
    state = np.where(lacks, State.NO_BASIS, np.where(runs, State.RECKONED, State.QUIET))
    answer = _winner(limit, results, first, ~lacks & counts.any(axis=0), subjects.as_of)
    answer |= totals_told(subjects, results, answer["decided_by"], lacks)
    answer |= _runner_up(limit, results, order, counts & ~lacks)
    answer |= _may(subjects, results, is_past, lacks)
    answer["may_be_past"] = lacks & _may_be_past(subjects, results, is_last)
    return answer | {
        "state": state,
        "is_past": is_past,
        "missing": missing,
        "worst_on": np.where(lacks, _worst(results, is_last), np.full(number, NO_DATE)),
    }


def _keys(subjects: Subjects, results: list[ClockResult], is_last: bool) -> Ints:
    """What the clocks are ordered by: the day. One that cannot be dated comes after those that can,
    unless it is past, and among those of its own measure by what is left; measures that cannot be
    compared stand in the order of their clocks. One that says nothing comes last of all."""
    ranks = _ranks(subjects, results)
    if is_last:
        ranks = [len(ranks) - 1 - rank for rank in ranks]
    keys = [_key(*one, subjects.as_of, is_last) for one in zip(results, ranks, strict=True)]
    return np.stack(keys)


def _ranks(subjects: Subjects, results: list[ClockResult]) -> list[Ints]:
    """Of each clock's measure the place of the first clock that says something in it."""
    clocks = subjects.limit.clocks
    first: dict[str, Ints] = {}
    for place, (clock, one) in enumerate(zip(clocks, results, strict=True)):
        mine = np.where(_is_silent(one), len(clocks) - 1, place)
        first[clock.measure] = np.minimum(first.get(clock.measure, mine), mine)
    return [first[clock.measure] for clock in clocks]


def _is_silent(one: ClockResult) -> Bools:
    silent: Bools = ~one.runs | (one.missing != 0)
    return silent


def _key(one: ClockResult, rank: Ints, as_of: np.datetime64, is_last: bool) -> Ints:
    dated = ~np.isnat(one.due_on)
    behind = _FAR + rank * _MOST_LEFT + np.clip(one.left, 0, _MOST_LEFT - 1)
    day = np.where(dated, one.due_on.astype("int64"), behind)
    today = int(as_of.astype("int64"))
    day = np.where(one.is_past & ~dated, today - 1, day)
    key: Ints = np.where(_is_silent(one), -4 * _FAR if is_last else 4 * _FAR, day)
    return key


def _is_past(results: list[ClockResult], missing: Ints, is_last: bool) -> Bools:
    """The first: one that is past is enough, whatever else is not known. The last: all must be."""
    if not is_last:
        past: Bools = np.logical_or.reduce([one.is_past for one in results])
        return past
    every: Bools = np.logical_and.reduce([one.is_past | ~one.runs for one in results])
    some: Bools = np.logical_or.reduce([one.is_past for one in results])
    all_past: Bools = every & some & (missing == 0)
    return all_past


def _pick(results: list[ClockResult], name: str, which: Ints) -> Any:
    if len(results) == 1:
        return getattr(results[0], name)
    return np.choose(which, [getattr(one, name) for one in results])


def _winner(
    limit: Limit, results: list[ClockResult], first: Ints, wins: Bools, as_of: np.datetime64
) -> dict[str, Any]:
    """The columns of the clock that decides."""

    def of(name: str, otherwise: Any) -> Any:
        return np.where(wins, _pick(results, name, first), otherwise)

    seqs = np.array([clock.seq for clock in limit.clocks])
    stops = [stop_of(*one) for one in zip(limit.clocks, results, strict=True)]
    due_on = of("due_on", NO_DATE)
    return {
        "due_on": due_on,
        "due_on_projected": of("is_projected", False),
        "start_on": of("start_on", NO_DATE),
        "left_days": days_between(np.full(len(due_on), as_of), due_on),
        "decided_by": np.where(wins, seqs[first], -1),
        "stop": np.where(wins, np.choose(first, stops), -1),
        "variation_until_on": of("variation_until_on", NO_DATE),
        "variation_until_at": of("variation_until_at", UNKNOWN),
        "within_variation": of("within_variation", False),
        "is_extended": of("is_extended", False),
        "is_growing": of("is_growing", False),
        "no_rate": np.logical_or.reduce([one.no_rate for one in results]),
    }


def stop_of(clock: Clock, one: ClockResult) -> Ints:
    """What happens when this clock runs out. What may stay until emptied may not where the most that
    nothing moves comes first: from manufacture that is the end of its life."""
    stop = np.full(len(one), int(_STOPS[clock.runs_out]))
    if clock.runs_out != "until_emptied":
        return stop
    of_life = clock.never_later_months is not None or clock.never_later_total is not None
    backstop = Stop.END_OF_LIFE if of_life else Stop.MAY_NOT_FLY
    return np.where(one.is_capped, int(backstop), stop)


def _runner_up(
    limit: Limit, results: list[ClockResult], order: Ints, counts: Bools
) -> dict[str, Any]:
    if len(results) == 1:
        return {}
    second = order[1]
    has = np.take_along_axis(counts, second[None, :], axis=0)[0]
    seqs = np.array([clock.seq for clock in limit.clocks])
    return {
        "runner_up": np.where(has, seqs[second], -1),
        "runner_up_on": np.where(has, _pick(results, "due_on", second), NO_DATE),
    }


def _may(
    subjects: Subjects, results: list[ClockResult], is_past: Bools, lacks: Bools
) -> dict[str, Any]:
    """What is still allowed: to fly, to be refilled, to be installed. A refill is itself counted: with
    no filling left the unit is not past its limit, but the next one would be."""
    grounded = np.zeros(len(is_past), dtype=bool)
    used_up = np.zeros(len(is_past), dtype=bool)
    for clock, one in zip(subjects.limit.clocks, results, strict=True):
        is_grounding = stop_of(clock, one) != Stop.UNTIL_EMPTIED
        grounded |= is_grounding & one.is_past & ~one.within_variation
        if _is_own_count(subjects.facts, clock):
            least = 1 + COMPARES[clock.compares].edge
            used_up |= one.runs & (one.missing == 0) & (one.left < least)
    fit = ~is_past & ~lacks
    return {"may_fly": ~(is_past & grounded), "may_refill": fit & ~used_up, "may_install": fit}


def _may_be_past(subjects: Subjects, results: list[ClockResult], is_last: bool) -> Bools:
    """Whether a limit that it may not fly past can be over, of all that the missing facts could be."""
    could, stops = [], np.zeros(len(subjects), dtype=bool)
    for clock, one in zip(subjects.limit.clocks, results, strict=True):
        late = np.isnat(one.worst_on) | (one.worst_on < subjects.as_of)
        lacking = (one.missing != 0) & late
        stays = stop_of(clock, one) == Stop.UNTIL_EMPTIED
        could.append(lacking | one.is_past | ~one.runs if is_last else lacking & ~stays)
        stops |= one.runs & ~stays
    if is_last:
        every: Bools = np.logical_and.reduce(could) & stops
        return every
    some: Bools = np.logical_or.reduce(could)
    return some


def _is_own_count(facts: Facts, clock: Clock) -> bool:
    if clock.is_calendar:
        return False
    measure = facts.measures[facts.measure_index(clock.measure)]
    return not measure.of_aircraft and not measure.is_hours


def _worst(results: list[ClockResult], is_last: bool) -> Any:
    """The earliest that the known facts allow: over the clocks that are known and those that are not."""
    worst = np.full(len(results[0]), NO_DATE)
    for one in results:
        day = np.where(one.missing != 0, one.worst_on, one.due_on)
        worst = np.fmax(worst, day) if is_last else np.fmin(worst, day)
    return worst
