"""Checks levelled over what hangars hold: by hand, against every way there is, and where time runs out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduling.placing import levelling
from scheduling.placing.levelling import levelled
from scheduling.placing.wishes import Hangar, Holds, Wish, overfull

from .hangars import best_of_all, can_stand, random_hangars

ONE_SLOT = [Hangar((Holds(0, 1),))]


def a_check(aircraft=0, wished=10, days=3, *, by=5, **more):
    return Wish(aircraft, 0, days, more.pop("people", 0), wished, wished - by, wished + by, **more)


def test_what_has_room_stays_where_it_is_wished():
    made = levelled([a_check(0, 10), a_check(1, 20)], ONE_SLOT)

    assert (made.starts, made.unheld, made.cost, made.is_best) == ((10, 20), 0, 0, True)


def test_of_two_in_one_slot_the_cheaper_moves_and_its_last_day_is_its_own():
    """Days 10 to 12 twice. Three days earlier cost 3 x 40 of the first, 3 x 100 of the second; later costs no
    life: three days."""
    wishes = [a_check(0, price=40), a_check(1, price=100)]

    later = levelled(wishes, ONE_SLOT)
    no_later = levelled([replace(each, latest=10) for each in wishes], ONE_SLOT)

    assert sorted(later.starts) == [10, 13]
    assert later.cost == 3
    assert (no_later.starts, no_later.cost) == ((7, 10), 123)


def test_nothing_said_of_a_hangar_binds_nothing_and_more_slots_from_a_day_on_hold_more():
    wishes = [a_check(0), a_check(1)]

    assert levelled(wishes, [Hangar(())]).starts == (10, 10)
    assert levelled(wishes, [Hangar((Holds(0, 1), Holds(9, 2)))]).starts == (10, 10)
    assert levelled(wishes, [Hangar((Holds(0, 2), Holds(12, 1)))]).cost == 1  # one day earlier


def test_people_bind_beside_slots():
    """Two slots and five people: 3 and 3 cannot be there at once, 3 and 2 can."""
    hangars = [Hangar((Holds(0, 2, 5),))]

    assert levelled([a_check(0, people=3), a_check(1, people=3)], hangars).cost == 3
    assert levelled([a_check(0, people=3), a_check(1, people=2)], hangars).cost == 0


def test_a_named_slot_and_an_aircraft_hold_one_check_at_a_time():
    hangars = [Hangar((Holds(0, 9),))]

    assert levelled([a_check(0, slot=1), a_check(1, slot=1)], hangars).cost == 3
    assert levelled([a_check(0), a_check(0, 11)], hangars).cost == 1  # to end and begin on one day


def test_what_stays_keeps_its_room_and_what_has_none_is_named():
    stays = Wish(0, 0, 5, 0, 10, 10, 10)
    wishes = [stays, replace(a_check(1), earliest=10, latest=12), a_check(2, 20)]

    made = levelled(wishes, ONE_SLOT)

    assert made.starts == (10, None, 20)
    assert (made.unheld, made.fewest, made.is_best) == (1, 1, True)


def test_where_more_is_wished_than_a_hangar_holds_is_said_as_one_span():
    wishes = [a_check(0, 10, people=4), a_check(1, 11, people=4), a_check(2, 30)]

    [span] = overfull(wishes, [Hangar((Holds(0, 1, 6),))])

    assert (span.from_day, span.to_day) == (11, 12)
    assert (span.checks, span.slots, span.people, span.people_there) == (2, 1, 8, 6)
    assert span.rows == {0, 1}


@pytest.mark.parametrize("first", range(0, 240, 60))
def test_no_way_at_all_holds_more_or_costs_less(first):
    moved = without = 0
    for seed in range(first, first + 60):
        wishes, hangars = random_hangars(seed)

        made = levelled(wishes, hangars)

        assert can_stand(wishes, hangars, list(made.starts)), seed
        assert (made.unheld, made.cost) == best_of_all(wishes, hangars), seed
        assert made.is_best, seed
        moved += made.cost > 0
        without += made.unheld > 0
    assert moved > 5
    assert without > 5


def test_where_time_runs_out_a_way_is_given_with_what_no_way_betters():
    """Forty checks of one week in three slots, in no time: first come, first served; what is said to be the least
    is no more than what is found with time."""
    wishes = [
        a_check(at, 100 + at % 7, 2 + at % 3, by=40, price=10 * (at % 5), people=at % 4)
        for at in range(40)
    ]
    hangars = [Hangar((Holds(0, 3, 6),))]

    at_once = levelled(wishes, hangars, seconds=0.0)
    in_time = levelled(wishes, hangars, seconds=3.0)

    assert can_stand(wishes, hangars, list(at_once.starts))
    assert at_once.fewest <= in_time.unheld <= at_once.unheld
    if at_once.unheld == in_time.unheld:
        assert at_once.least <= in_time.cost <= at_once.cost


def test_a_search_that_ends_early_never_makes_dear_what_the_nearest_days_give_cheaply(monkeypatch):
    """The first search asks how many are held and no price; the second finds nothing in time."""
    wishes = [a_check(0, 10, by=40, price=100), a_check(1, 10, by=40, price=100)]
    far = levelling._Solved({0: wishes[0].latest, 1: wishes[1].earliest}, -2.0)
    answers = iter([far, levelling._Solved(None, None)])
    monkeypatch.setattr(levelling, "_solved", lambda *_: next(answers))

    made = levelled(wishes, ONE_SLOT)

    assert (made.unheld, made.is_best) == (0, False)
    assert made.cost < sum(
        wish.cost(day)
        for wish, day in zip(wishes, (wishes[0].latest, wishes[1].earliest), strict=True)
    )
    assert can_stand(wishes, ONE_SLOT, list(made.starts))


def test_nothing_wished_is_level():
    assert levelled([], []).is_best
