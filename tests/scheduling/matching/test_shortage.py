from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts, Fit, Way
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.shortage import Month, months_of
from scheduling.matching.telling.anew import cures_for
from scheduling.matching.telling.cures import Asked, CurePrices
from tests.scheduling.matching.generated import (
    a_need,
    a_supply,
    best_by_trying_all,
    changed_facts,
    later,
    possible,
    some_facts,
)
from tests.sweeps import many


def test_months_count_needs_what_is_on_hand_what_comes_and_what_is_short():
    needs = tuple(a_need(f"need {day}", on=later(day)) for day in (5, 40, 41, 110))
    supplies = (
        a_supply("store", free_from=date(2027, 3, 3)),
        a_supply("shop", free_from=date(2027, 4, 5)),
        a_supply("held", free_from=date(2027, 3, 3), is_quarantined=True),
        a_supply("vest", part="VE-1", free_from=date(2027, 3, 3)),
    )
    facts = Facts(needs, supplies)

    pairs = propose(columns_of(facts)).pairs
    told = months_of(facts, pairs, as_of=date(2027, 3, 3), until=date(2027, 7, 2))

    assert told == [
        Month("slide", date(2027, 3, 1), needs=1, on_hand=1, coming_back=0, short=0),
        Month("slide", date(2027, 4, 1), needs=2, on_hand=0, coming_back=1, short=1),
        Month("slide", date(2027, 5, 1), needs=0, on_hand=0, coming_back=0, short=0),
        Month("slide", date(2027, 6, 1), needs=1, on_hand=0, coming_back=0, short=1),
        Month("slide", date(2027, 7, 1), needs=0, on_hand=0, coming_back=0, short=0),
    ]


def test_what_lies_in_the_store_today_is_on_hand_and_does_not_come_back_this_month():
    needs = (a_need("soon", on=later(5)), a_need("later", on=later(40)))
    supplies = (a_supply("shelf", free_from=later(4)), a_supply("shop", free_from=later(9)))
    facts = Facts(needs, supplies)

    running, following = months_of(
        facts, propose(columns_of(facts)).pairs, as_of=later(4), until=later(60)
    )

    assert (running.on_hand, running.coming_back) == (1, 1)
    assert (following.on_hand, following.coming_back, following.short) == (1, 0, 0)


def test_months_of_nothing_are_none():
    assert months_of(Facts((), ()), {}, as_of=later(0), until=later(99)) == []


def cures(need, *supplies, ways=(), asked=None):
    return cures_for(need, Facts((need,), supplies, ways), supplies, asked or Asked())


def test_a_shop_order_is_hurried_by_just_the_days_it_is_late():
    order = a_supply(free_from=later(36), source="shop", hurry_days=6)

    (cure,) = cures(a_need(), order)

    assert (cure.sort, cure.days, cure.price) == ("hurry", 6, 120)
    assert cure.sentence == "Hurry unit supply out of the shop by 6 days."
    assert cures(a_need(), replace(order, hurry_days=5)) == []


def test_a_check_moves_only_as_far_as_the_unit_that_is_on_it_lasts():
    late = a_supply(free_from=later(36))

    (cure,) = cures(a_need(), late, asked=Asked(latest_on={"need": later(36)}))

    assert (cure.sort, cure.days, cure.price) == ("move_check", 6, 300)
    assert "6 days to 6 Apr 2027" in cure.sentence
    assert cures(a_need(), late, asked=Asked(latest_on={"need": later(35)})) == []
    assert cures(a_need(), late) == []


def test_a_unit_elsewhere_is_lent_when_a_transport_of_its_own_is_quick_enough():
    away = a_supply(station="East", free_from=later(28))

    (cure,) = cures(a_need(), away)

    assert (cure.sort, cure.price) == ("lend", 100)
    assert cure.sentence == "Lend unit supply from East, by a transport arranged for it."
    assert cures(a_need(), replace(away, free_from=later(29))) == []
    assert cures(a_need(), replace(away, is_dangerous=True)) == []


def test_an_alternate_is_asked_for_only_where_nothing_else_is_wrong_with_it():
    other = a_supply(part="SL-7")
    asked = Asked(alternates=frozenset({("SL-1", "SL-7")}))

    (cure,) = cures(a_need(), other, asked=asked)

    assert (cure.sort, cure.price) == ("alternate", 500)
    assert cure.sentence == "Approve SL-7 as an alternate of SL-1, and fit unit supply."
    assert cures(a_need(), other) == []
    assert cures(a_need(), replace(other, is_serviceable=False), asked=asked) == []
    assert cures(a_need(fits=(Fit("SL-1", msn_to="1000"),)), other, asked=asked) == []


def test_the_cheapest_cure_comes_first_by_the_operators_own_prices():
    late = a_supply("late", free_from=later(32), hurry_days=9)
    away = a_supply("away", station="South")
    ways = (Way("South", "North", 60),)
    asked = Asked(latest_on={"need": later(40)})
    dear = replace(asked, prices=CurePrices(hurry_day=90))

    usual = [cure.sort for cure in cures(a_need(), late, away, ways=ways, asked=asked)]
    hurried = [cure.sort for cure in cures(a_need(), late, away, ways=ways, asked=dear)]

    assert usual == ["hurry", "lend", "move_check"]
    assert hurried == ["lend", "move_check", "hurry"]


def test_every_cure_would_indeed_meet_the_need():
    late = a_supply(free_from=later(33), hurry_days=5)
    (cure,) = cures(a_need(), late)
    hurried = replace(late, free_from=later(33 - cure.days))

    assert propose(columns_of(Facts((a_need(),), (late,)))).short == ["need"]
    assert propose(columns_of(Facts((a_need(),), (hurried,)))).short == []


def test_nobody_waits_for_the_unit_that_comes_off_there():
    """Moved or hurried, a check is never done with the very unit that it takes off."""
    off = a_supply("off", free_from=later(36), source="removal", turn_days=6, hurry_days=6)
    other = a_supply("other", free_from=later(38))
    asked = Asked(latest_on={"need": later(60)}, released={"need": "off"})

    assert cures(a_need(), off, asked=asked) == []
    assert [each.supply for each in cures(a_need(), off, other, asked=asked)] == ["other"]


def test_a_check_is_moved_with_everything_at_it():
    """Two come off on one day: moved by six days for the one, the spare of the other has run out by then."""
    needs = (a_need("need"), a_need("beside", fits=(Fit("VE-1"),)))
    late = a_supply("late", free_from=later(36))
    vest = a_supply("vest", part="VE-1", shelf_until=later(33))
    asked = Asked(latest_on={"need": later(60)}, together={"need": ("need", "beside")})
    facts = Facts(needs, (late, vest))

    assert cures_for(needs[0], facts, (late,), asked) == []
    lasting = replace(vest, shelf_until=later(36))
    facts = Facts(needs, (late, lasting))
    assert [one.sort for one in cures_for(needs[0], facts, (late,), asked)] == ["move_check"]


def test_a_cure_says_what_else_it_moves():
    """Hurried for ``b``, the late unit does better on ``a``: then ``b`` takes the unit that ``a`` had."""
    needs = (
        a_need("a", on=later(31), opportunities=(later(400), later(550))),
        a_need("b", on=later(31), opportunities=(later(500),)),
    )
    had = a_supply("had", lasts_until=later(510))
    late = a_supply("late", lasts_until=later(560), free_from=later(33), hurry_days=9)
    facts = Facts(needs, (had, late))
    assert propose(columns_of(facts)).pairs == {"a": "had"}

    [cure] = cures_for(needs[1], facts, (late,), Asked())

    assert cure.sentence.endswith("1 other need takes another unit then; none of them is short.")


def test_the_random_worlds_do_have_cures():
    """Else the next test would prove nothing."""
    found = 0
    for seed in range(150):
        facts = some_facts(seed, odd=0.25)
        pairs = propose(columns_of(facts)).pairs
        free = [one for one in facts.supplies if one.key not in pairs.values()]
        asked = Asked(
            {one.key: one.on + timedelta(days=40) for one in facts.needs},
            alternates=frozenset({("SL-1", "SL-2")}),
        )
        short = [one for one in facts.needs if one.key not in pairs]
        found += sum(len(cures_for(one, facts, free, asked)) for one in short)
    assert found > 10


@pytest.mark.sweep
@pytest.mark.parametrize("seed", range(many(3000, 150)))
def test_no_cure_when_followed_meets_fewer_needs_or_one_fewer_that_was_met(seed):
    """Against the slow way: every matching tried, before and after."""
    facts = some_facts(seed, needs=4, supplies=4, odd=0.25)
    before = propose(columns_of(facts))
    free = [one for one in facts.supplies if one.key not in before.pairs.values()]
    together = {one.key: tuple(o.key for o in facts.needs if o.on == one.on) for one in facts.needs}
    asked = Asked(
        latest_on={one.key: one.on + timedelta(days=40) for one in facts.needs},
        together=together,
        released={facts.needs[0].key: facts.supplies[0].key},
        alternates=frozenset({("SL-1", "SL-2")}),
    )
    for need in facts.needs:
        if need.key in before.pairs:
            continue
        for cure in cures_for(need, facts, free, asked, before=before):
            after = changed_facts(facts, cure.change)
            assert best_by_trying_all(after)[0] < best_by_trying_all(facts)[0]
            pairs = propose(columns_of(after)).pairs
            assert need.key in pairs and set(before.pairs) <= set(pairs)
            assert set(pairs.items()) <= set(possible(after))
            assert pairs[need.key] != facts.supplies[0].key or need.key != facts.needs[0].key
