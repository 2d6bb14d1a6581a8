"""Worked by hand: a pencil and the checks of one aircraft on a line."""

from __future__ import annotations

import numpy as np
import pytest

from scheduling.placing.columns import NONE, OWN_TIME, State
from scheduling.placing.plan import placed

from .worlds import World, a_job, at_all

NO_PRICE = np.zeros(4, np.int64)


def plan_of(world, margin=0, opening=NO_PRICE):
    return placed(*world.columns(), margin, np.asarray(opening, np.int64))


@pytest.mark.parametrize(
    ("last_on", "margin", "state", "check"),
    [
        (100, 0, State.LAST, 1),  # the check of day 100 begins on its last good day
        (99, 0, State.LAST, 0),
        (105, 7, State.LAST, 0),  # a slip of 7 days would pass the limit: the one before
        (107, 7, State.LAST, 1),
        (45, 0, State.TOO_LATE, NONE),  # before the first check
        (52, 7, State.IN_MARGIN, NONE),  # day 50 is in time, by 2 days only
        (150, 0, State.BEYOND, NONE),  # nothing is planned behind it: a later one may come
        (100, 1, State.LAST, 0),
    ],
)
def test_each_job_stands_at_the_last_check_less_the_margin(last_on, margin, state, check):
    world = World({0: at_all(50, 100, 140)}, [a_job(last_on)])

    plan, merged = plan_of(world, margin)

    assert (plan.state[0], plan.check[0]) == (state, check)
    assert merged == ()


def test_an_aircraft_without_checks_and_a_work_nobody_can_do_have_none():
    world = World({0: at_all(50), 1: [(20, {0})]}, [a_job(60, aircraft=2)], works=2)
    world.jobs.append(a_job(60, aircraft=1, work=1))

    plan, _ = plan_of(world)

    assert plan.state.tolist() == [State.NO_CHECK, State.NO_CHECK]


def test_what_a_stop_cannot_do_waits_for_no_stop():
    world = World({0: [(50, {0, 1}), (90, {0}), (120, {0, 1})]}, works=2)
    world.jobs = [a_job(100, work=0), a_job(100, work=1)]

    plan, _ = plan_of(world)

    assert plan.check.tolist() == [1, 0]


def test_work_is_brought_together_where_an_opening_costs_more_than_the_life():
    """Two jobs behind one panel, last checks on days 50 and 90. A hundred days of the second's life cost 500,
    so 40 days cost 200: less than an opening at 201, more than one at 199, and at 200 it is left alone."""
    world = World({0: at_all(50, 90, 130)})
    world.jobs = [a_job(60, group=0, price=500), a_job(100, group=0, price=500)]

    dear, merged = plan_of(world, opening=[201, 0, 0, 0])
    even, _ = plan_of(world, opening=[200, 0, 0, 0])

    assert dear.check.tolist() == [0, 0]
    assert dear.state.tolist() == [State.LAST, State.TOGETHER]
    [one] = merged
    assert (one.openings, one.opening_saved, one.life_lost, one.saved) == (1, 20_100, 20_000, 100)
    assert one.rows == (1,)
    assert even.check.tolist() == [0, 1]


def test_three_meet_in_the_middle_of_their_checks_not_at_the_first():
    """Days 10, 80, 90: bringing the third to the second costs 10 days, both to the first 150."""
    world = World({0: at_all(10, 80, 90, 200)})
    world.jobs = [
        a_job(10, group=0, price=100),
        a_job(80, group=0, price=100),
        a_job(95, group=0, price=100),
    ]

    plan, merged = plan_of(world, opening=[15, 0, 0, 0])

    assert plan.check.tolist() == [0, 1, 1]
    assert [one.openings for one in merged] == [1]


def test_two_works_meet_at_a_check_that_neither_would_have_alone():
    """Each stop of days 60 and 61 does one of the works; day 50 does both. Ten days of each cost 20,
    two openings 100."""
    world = World({0: [(50, {0, 1}), (60, {0}), (61, {1}), (90, {0, 1})]}, works=2)
    world.jobs = [a_job(70, work=0, group=0, price=100), a_job(70, work=1, group=0, price=100)]

    plan, [merged] = plan_of(world, opening=[50, 0, 0, 0])

    assert plan.check.tolist() == [0, 0]
    assert plan.state.tolist() == [State.TOGETHER, State.TOGETHER]
    assert (merged.openings, merged.life_lost) == (1, 2100)


def test_another_group_and_no_group_are_left_alone():
    world = World({0: at_all(50, 60, 130)})
    world.jobs = [a_job(55, group=0), a_job(65, group=1), a_job(65)]

    plan, merged = plan_of(world, opening=[900, 900, 0, 0])

    assert plan.check.tolist() == [0, 1, 1]
    assert merged == ()


def test_the_controllers_choice_stands_inside_the_margin_but_never_past_the_limit():
    world = World({0: at_all(50, 100, 200)})
    world.jobs = [a_job(102, chosen=1), a_job(90, chosen=1), a_job(150, chosen=OWN_TIME)]

    plan, _ = plan_of(world, margin=7)

    assert plan.state.tolist() == [State.CHOSEN, State.CHOSEN_LATE, State.OWN_TIME]
    assert plan.check.tolist() == [1, NONE, NONE]


def test_what_is_opened_for_a_choice_is_opened_for_the_others_at_no_price():
    """The choice opens the panel on day 50; ten days of the other's life cost less than its own opening."""
    world = World({0: at_all(50, 60, 130)})
    world.jobs = [a_job(70, group=0, price=100, chosen=0), a_job(70, group=0, price=100)]

    plan, [merged] = plan_of(world, opening=[11, 0, 0, 0])

    assert plan.check.tolist() == [0, 0]
    assert (merged.opening_saved, merged.life_lost) == (1100, 1000)


def test_another_aircrafts_check_cannot_be_chosen():
    world = World({0: at_all(50, 90), 1: at_all(40)}, [a_job(80, chosen=2)])

    plan, _ = plan_of(world)

    assert plan.state.tolist() == [State.CHOSEN_LATE]


def test_a_fleet_without_anything_is_placed_too():
    plan, merged = plan_of(World())

    assert len(plan.check) == 0
    assert merged == ()
