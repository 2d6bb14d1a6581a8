from __future__ import annotations

from dataclasses import replace
from datetime import date

from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts, Fit, Way
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.shortage import Month, months_of
from scheduling.matching.telling.cures import Asked, CurePrices, cures_for
from tests.scheduling.matching.generated import a_need, a_supply, later


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
