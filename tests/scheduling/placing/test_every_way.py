"""Thousands of small random aircraft, each placed in every way there is: none costs less, none passes a limit."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduling.placing.columns import NONE, PRICED_DAYS, State
from scheduling.placing.plan import placed

from .worlds import last_of, least_of_all, price_of, random_world

WORLDS = 4000


@pytest.mark.parametrize(("opening", "least_merged"), [(0, 0), (1, 0), (30, 40), (250, 100)])
def test_no_way_at_all_costs_less(opening, least_merged):
    merged_at_all = 0
    for seed in range(WORLDS // 4):
        world = random_world(seed * 4 + opening)
        margin = seed % 3 * 4

        plan, merged = placed(*world.columns(), margin, np.full(4, opening, np.int64))

        merged_at_all += len(merged)
        groups: dict[int, list[int]] = defaultdict(list)
        forced: dict[int, set[int]] = defaultdict(set)
        for at, job in enumerate(world.jobs):
            if plan.state[at] in (State.LAST, State.TOGETHER):
                groups[job[3]].append(at)
            elif plan.state[at] == State.CHOSEN:
                forced[job[3]].add(int(plan.check[at]))
        for group, rows in groups.items():
            if group == NONE:
                continue
            ours = price_of(
                world,
                opening,
                [(at, int(plan.check[at]), last_of(world, world.jobs[at], margin)) for at in rows],
                forced[group],
            )
            least = least_of_all(world, margin, opening, rows, forced[group])
            assert ours == least, (seed, group)
    assert merged_at_all >= least_merged


def test_what_is_said_to_be_saved_is_what_the_prices_say():
    opening = 250
    said = 0
    for seed in range(1500):
        world = random_world(seed)
        plan, merged = placed(*world.columns(), 2, np.full(4, opening, np.int64))
        for one in merged:
            rows = [
                at
                for at, job in enumerate(world.jobs)
                if job[3] == one.group and plan.check[at] >= 0
            ]
            alone = {
                int(plan.check[at]) if plan.state[at] == State.CHOSEN else int(plan.last[at])
                for at in rows
            }
            now = {int(plan.check[at]) for at in rows}
            assert one.openings == len(alone) - len(now)
            assert one.opening_saved == one.openings * opening * PRICED_DAYS
            assert one.saved > 0
            said += 1
    assert said > 100


@given(seed=st.integers(0, 10**9), margin=st.integers(0, 30), opening=st.integers(0, 2000))
def test_nothing_placed_ever_passes_its_limit(seed, margin, opening):
    world = random_world(seed)
    rows = world.check_rows()

    plan, _ = placed(*world.columns(), margin, np.full(4, opening, np.int64))

    for at, job in enumerate(world.jobs):
        state, check = plan.state[at], plan.check[at]
        if state > State.TOGETHER:
            assert check == NONE
            continue
        craft, day, able = rows[check]
        assert craft == job[0]
        assert job[2] in able
        assert day <= job[1] - (0 if state == State.CHOSEN else margin)


@given(seed=st.integers(0, 10**9), margin=st.integers(0, 30))
def test_what_has_no_check_could_have_none(seed, margin):
    """Each state says what it says, read off the rule's words and not off the columns."""
    world = random_world(seed)
    rows = world.check_rows()

    plan, _ = placed(*world.columns(), margin, np.zeros(4, np.int64))

    for at, job in enumerate(world.jobs):
        able = [day for craft, day, works in rows if craft == job[0] and job[2] in works]
        early = [day for day in able if day <= job[1] - margin]
        behind = [day for day in able if day > job[1] - margin]
        in_time = [day for day in behind if day <= job[1]]
        wanted = State.NO_CHECK
        if early:
            wanted = State.LAST if behind else State.BEYOND
        elif behind:
            wanted = State.IN_MARGIN if in_time else State.TOO_LATE
        if job[5] == NONE:
            assert plan.state[at] == wanted
        assert plan.is_in_time[at] == bool(in_time)
        coming = rows[plan.coming[at]][1] if plan.coming[at] >= 0 else None
        assert coming == (behind[0] if behind else None)
