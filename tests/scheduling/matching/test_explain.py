from __future__ import annotations

from scheduling.matching.facts.change import Change
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import NO_LIMIT, Facts, Prices, Way
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.renew import renew
from scheduling.matching.telling.explain import Moved, difference, explain
from tests.scheduling.matching.generated import a_need, a_supply, later

WAY = Way("South", "North", 2, 40)


def test_a_pairing_says_when_it_is_there_how_long_it_lasts_and_what_it_costs():
    need = a_need(opportunities=(later(100), later(300), later(600)))
    supply = a_supply(station="South", lasts_until=later(350), shelf_until=later(90))
    facts = Facts((need,), (supply,), (WAY,), Prices(life_day=2))

    told = explain(need, supply, facts)

    assert told.sentences == (
        "unit supply is free at South from 1 Mar 2027 and needs 2 days to North:"
        " there on 3 Mar 2027, needed on 31 Mar 2027.",
        "It lasts until 14 Feb 2028, past the next opportunity on 9 Jun 2027;"
        " the last it reaches is 26 Dec 2027.",
        "Cost 200: 50 days of life thrown away at 2 each, 60 days left on the shelf at 1 each,"
        " freight of 40 at 1 each.",
    )
    assert told.cost and told.cost.total == 200


def test_a_unit_without_an_end_and_without_freight_costs_nothing():
    need, supply = a_need(), a_supply(lasts_until=NO_LIMIT)

    told = explain(need, supply, Facts((need,), (supply,)))

    assert told.sentences[1:] == (
        "Nothing of unit supply runs out.",
        "Cost 0: nothing is lost.",
    )


def test_where_no_opportunity_is_planned_the_pairing_says_so():
    need, supply = a_need(opportunities=()), a_supply(lasts_until=later(31))

    told = explain(need, supply, Facts((need,), (supply,)))

    assert told.sentences[1].endswith("no opportunity after this one is planned.")
    assert told.cost and (told.cost.life_days, told.cost.beyond_days) == (0, 1)
    assert "1 day left after the last opportunity planned, not lost at 1 each" in told.sentences[-1]


def test_a_pairing_that_cannot_be_says_all_that_is_against_it():
    need, supply = a_need(), a_supply(is_quarantined=True, has_certificate=False)

    told = explain(need, supply, Facts((need,), (supply,)))

    assert [one.code for one in told.against] == ["in_quarantine", "no_certificate"]
    assert told.sentences == tuple(one.message for one in told.against)
    assert told.cost is None


def test_forbidding_a_pair_shows_what_moves_and_what_it_costs():
    needs = (a_need("a"), a_need("b", on=later(40)))
    supplies = (a_supply("1"), a_supply("2", lasts_until=later(430)))
    before = propose(columns_of(Facts(needs, supplies)))

    told = difference(before, renew(before, Change(forbid=(("a", "1"), ("b", "2")))))
    none_left = difference(before, renew(before, Change(gone_supplies=("1",))))

    assert before.pairs == {"a": "1", "b": "2"}
    assert told.moved == (Moved("a", "1", "2"), Moved("b", "2", "1"))
    assert (told.more_met, told.more_cost) == (0, 0)
    assert none_left.moved == (Moved("a", "1", "2"), Moved("b", "2", None))
    assert (none_left.more_met, none_left.more_cost) == (-1, -100)
