"""The plan of the whole fleet: each job at its last check in time, then access groups brought together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from .columns import NONE, OWN_TIME, PRICED_DAYS, Bools, Checks, Ints, Jobs, Merged, Placed, State
from .together import Job, Spots, cheapest

_SPAN = 1 << 24
_FAR = _SPAN // 2 - 1


def placed(
    jobs: Jobs, checks: Checks, margin: int, opening: Ints
) -> tuple[Placed, tuple[Merged, ...]]:
    """Every job's check, and what was brought together. ``margin`` days are kept between a check's first day
    and the last day of what is placed at it by rule; ``opening`` is the price of each access group's opening.

    A job with a check begins it on or before its last day, whatever was chosen.
    """
    alone = _alone(jobs, checks, margin)
    chosen = _chosen(jobs, checks, alone)
    return _together(jobs, checks, chosen, opening)


def _alone(jobs: Jobs, checks: Checks, margin: int) -> Placed:
    """Each by itself: the last check that can do it on or before its last day less the margin."""
    number = len(jobs)
    state = np.full(number, int(State.NO_CHECK), np.int8)
    last, coming = np.full(number, NONE), np.full(number, NONE)
    in_time = np.zeros(number, bool)
    keys = checks.aircraft * _SPAN + checks.starts_on
    for work in np.unique(jobs.work):
        rows = np.flatnonzero(jobs.work == work)
        able = np.flatnonzero(checks.can[work])
        if not len(able):
            continue
        of, aircraft = keys[able], jobs.aircraft[rows] * _SPAN
        day = np.clip(jobs.last_on[rows], -_FAR, _FAR)
        first = np.searchsorted(of, aircraft - _FAR - 1, side="left")
        after = np.searchsorted(of, aircraft + _FAR, side="right")
        behind = np.searchsorted(of, aircraft + day - margin, side="right")
        until = np.searchsorted(of, aircraft + day, side="right")
        has_last, has_coming = behind > first, behind < after
        last[rows] = np.where(has_last, able[np.maximum(behind - 1, 0)], NONE)
        coming[rows] = np.where(has_coming, able[np.minimum(behind, len(able) - 1)], NONE)
        in_time[rows] = until > behind
        state[rows] = np.select(
            [has_last & has_coming, has_last, until > behind, has_coming],
            [State.LAST, State.BEYOND, State.IN_MARGIN, State.TOO_LATE],
            State.NO_CHECK,
        )
    check = np.where(state == State.LAST, last, NONE)
    return Placed(state, check, last, coming, in_time)


def _chosen(jobs: Jobs, checks: Checks, alone: Placed) -> Placed:
    """What the controller chose stands before the rule, but never past a limit."""
    named = jobs.chosen >= 0
    good = np.zeros(len(jobs), bool)
    if len(checks):
        at = np.clip(jobs.chosen, 0, len(checks) - 1)
        good = named & (jobs.chosen == at) & (checks.aircraft[at] == jobs.aircraft)
        good &= (checks.starts_on[at] <= jobs.last_on) & checks.can[jobs.work, at]
    own = jobs.chosen == OWN_TIME
    state = np.select(
        [good, named, own], [State.CHOSEN, State.CHOSEN_LATE, State.OWN_TIME], alone.state
    )
    check = np.where(good, jobs.chosen, np.where(named | own, NONE, alone.check))
    return Placed(state.astype(np.int8), check, alone.last, alone.coming, alone.is_in_time)


def _together(
    jobs: Jobs, checks: Checks, by_rule: Placed, opening: Ints
) -> tuple[Placed, tuple[Merged, ...]]:
    state, check = by_rule.state.copy(), by_rule.check.copy()
    found: list[Merged] = []
    lists: _Lists | None = None
    chosen = int(State.CHOSEN)
    for group, rows in _worth_a_look(jobs, checks, by_rule, opening):
        is_chosen = state[rows] == chosen
        free = rows[~is_chosen] if is_chosen.any() else rows
        forced = check[rows[is_chosen]]
        lists = lists or _lists(jobs, checks)
        places = _cheapest(jobs, lists, (free, check[free], forced), int(opening[group]))
        moved = places != check[free]
        if not moved.any():
            continue
        before = set(check[free].tolist()) | set(forced.tolist())
        after = set(places.tolist()) | set(forced.tolist())
        days = checks.starts_on[check[free]] - checks.starts_on[places]
        lost = int((days * jobs.price[free]).sum())
        fewer = len(before) - len(after)
        price = fewer * int(opening[group]) * PRICED_DAYS
        found.append(Merged(group, fewer, price, lost, tuple(free[moved].tolist())))
        check[free] = places
        state[free[moved]] = State.TOGETHER
    plan = Placed(state, check, by_rule.last, by_rule.coming, by_rule.is_in_time)
    return plan, tuple(found)


def _worth_a_look(
    jobs: Jobs, checks: Checks, plan: Placed, opening: Ints
) -> Iterator[tuple[int, Ints]]:
    """Groups in which something may be saved: opened at more than one check as it stands, and some check's
    work might move to the one before for less than an opening. What is left out saves nothing."""
    rows = np.flatnonzero((jobs.group >= 0) & (plan.check >= 0))
    if not len(rows):
        return
    rows = rows[np.lexsort((plan.check[rows], jobs.group[rows]))]
    group, at = jobs.group[rows], plan.check[rows]
    begins = np.flatnonzero(_is_new(group))
    ends = np.append(begins[1:], len(rows))
    spot = _is_new(group) | _is_new(at)  # the first job of each check of a group
    spots = np.flatnonzero(spot)
    is_free = plan.state[rows] == State.LAST
    weight = np.add.reduceat(jobs.price[rows], spots)
    is_forced = np.add.reduceat((~is_free).astype(np.int64), spots) > 0
    gap = np.zeros(len(spots), np.int64)
    gap[1:] = checks.starts_on[at[spots[1:]]] - checks.starts_on[at[spots[:-1]]]
    saves = ~np.isin(spots, begins) & ~is_forced
    saves &= weight * gap < opening[group[spots]] * PRICED_DAYS
    may_save = np.add.reduceat(saves.astype(np.int64), np.searchsorted(spots, begins)) > 0
    several = _has_several(checks, jobs.work[rows], at, begins)
    opens_twice = np.add.reduceat(spot.astype(np.int64), begins) > 1
    has_free = np.add.reduceat(is_free.astype(np.int64), begins) > 0
    wanted = opens_twice & has_free & (opening[group[begins]] > 0) & (may_save | several)
    for one in np.flatnonzero(wanted):
        yield int(group[begins[one]]), rows[begins[one] : ends[one]]


def _is_new(column: Ints) -> Bools:
    found = np.ones(len(column), bool)
    found[1:] = column[1:] != column[:-1]
    return found


def _has_several(checks: Checks, work: Ints, at: Ints, begins: Ints) -> Bools:
    """Groups whose works are not all possible at the same checks: there one check's work may be divided."""
    _, like = np.unique(checks.can, axis=0, return_inverse=True)
    of = like.reshape(-1)[work]
    different = np.zeros(len(of), bool)
    different[1:] = of[1:] != of[:-1]
    different[begins] = False
    found: Bools = np.add.reduceat(different.astype(np.int64), begins) > 0
    return found


@dataclass(frozen=True, slots=True)
class _Lists:
    """The checks as plain lists, made once: works that are possible at the same checks are one sort."""

    starts_on: list[int]
    can: list[list[bool]]
    sort: list[int]
    first: Ints
    end: Ints


def _lists(jobs: Jobs, checks: Checks) -> _Lists:
    can, sort = np.unique(checks.can, axis=0, return_inverse=True)
    crafts = np.arange(int(max(jobs.aircraft.max(initial=0), checks.aircraft.max(initial=0))) + 1)
    return _Lists(
        checks.starts_on.tolist(),
        can.tolist(),
        sort.reshape(-1).tolist(),
        np.searchsorted(checks.aircraft, crafts),
        np.searchsorted(checks.aircraft, crafts, side="right"),
    )


def _cheapest(jobs: Jobs, lists: _Lists, group: tuple[Ints, Ints, Ints], opening: int) -> Ints:
    """The checks of a group's free jobs, brought together."""
    free, last, forced = group
    craft = int(jobs.aircraft[free[0]])
    first, end = int(lists.first[craft]), int(lists.end[craft])
    sorts = [lists.sort[work] for work in jobs.work[free].tolist()]
    place = {sort: at for at, sort in enumerate(sorted(set(sorts)))}
    ones = [
        Job(place[sort], at - first, price)
        for sort, at, price in zip(sorts, last.tolist(), jobs.price[free].tolist(), strict=True)
    ]
    spots = Spots(
        lists.starts_on[first:end],
        [lists.can[sort][first:end] for sort in place],
        frozenset(at - first for at in forced.tolist()),
    )
    return np.array(cheapest(ones, spots, opening), np.int64) + first
