"""How long a unit lasts on an aircraft by what it has left in hours and cycles: worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.costs import cost_columns, cost_of
from scheduling.matching.facts.facts import NO_LIMIT, Facts, Left, Rate
from scheduling.matching.facts.lasting import last_days, lasts_at
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.screen import reason_bits
from scheduling.matching.telling.explain import explain
from scheduling.matching.telling.why_not import why_not
from tests.scheduling.matching.generated import a_need, a_supply, later, possible, some_facts

EIGHT_HOURS, THREE_FLIGHTS = Rate("hours", 480, 86_400), Rate("cycles", 270, 90 * 86_400)
HOURS_480, FLIGHTS_100 = Left("hours", 480 * 60), Left("cycles", 100)


@pytest.mark.parametrize(
    ("rates", "left", "lasts"),
    [
        # 480 hours at 8 a day are 60 days from the 30th
        ((EIGHT_HOURS,), (HOURS_480,), later(90)),
        # one minute less is 59 whole days
        ((EIGHT_HOURS,), (Left("hours", 480 * 60 - 1),), later(89)),
        # 100 flights at 3 a day are 33 whole days, before the hours end
        ((EIGHT_HOURS, THREE_FLIGHTS), (HOURS_480, FLIGHTS_100), later(63)),
        # a date that comes first stays
        ((Rate("hours", 1, 86_400),), (HOURS_480,), later(500)),
        # no rate in that measure: no day of it
        ((THREE_FLIGHTS,), (HOURS_480,), later(500)),
        ((), (HOURS_480, FLIGHTS_100), later(500)),
        # nothing left: it ends on the day on which it is fitted
        ((EIGHT_HOURS,), (Left("hours", 0),), later(30)),
        ((EIGHT_HOURS,), (), later(500)),
    ],
)
def test_hours_and_cycles_last_as_long_as_that_aircraft_takes_to_fly_them(rates, left, lasts):
    need, supply = a_need(rates=rates), a_supply(left=left)

    columns = columns_of(Facts((need,), (supply,)))

    assert lasts_at(need, supply) == lasts
    row = np.zeros(1, dtype=np.int64)
    assert date.fromordinal(int(last_days(columns, row, row)[0])) == lasts


def test_the_same_unit_reaches_the_next_opportunity_of_the_aircraft_that_flies_little():
    much = a_need("much", rates=(EIGHT_HOURS,), opportunities=(later(91),))
    little = a_need("little", rates=(Rate("hours", 60, 86_400),), opportunities=(later(91),))
    supply = a_supply(left=(HOURS_480,), lasts_until=NO_LIMIT)

    facts = Facts((much, little), (supply,))

    assert [one.code for one in why_not(much, supply, facts)] == ["life_ends_early"]
    assert propose(columns_of(facts)).pairs == {"little": "supply"}
    # 480 days from the 30th, less the 61 to the opportunity
    assert cost_of(facts, little, supply).beyond_days == 510 - 91


def test_why_and_why_not_say_the_hours_and_the_rate():
    need = a_need(rates=(EIGHT_HOURS,), opportunities=(later(91),))
    supply = a_supply(left=(HOURS_480,), lasts_until=NO_LIMIT)
    sooner = replace(need, opportunities=(later(60),))

    [against] = why_not(need, supply, Facts((need,), (supply,)))
    told = explain(sooner, supply, Facts((sooner,), (supply,)))

    said = (
        "It has 480:00 hours remaining: at 8.00 hours a day, the rate of this aircraft, that lasts from"
        " 31 Mar 2027 until about 30 May 2027."
    )
    assert against.message == (
        f"unit supply lasts until 30 May 2027; the next opportunity is 31 May 2027. {said}"
    )
    assert told.sentences[1] == said
    assert told.cost and told.cost.beyond_days == 30


def test_an_aircraft_that_does_not_fly_gives_no_day_and_says_so():
    need, supply = a_need(), a_supply(left=(FLIGHTS_100,), lasts_until=NO_LIMIT)

    told = explain(need, supply, Facts((need,), (supply,)))

    assert told.sentences[1] == (
        "It has 100 cycles remaining; the aircraft has no rate of use, so no day follows from them."
    )


@pytest.mark.parametrize("seed", range(40))
def test_pair_by_pair_and_in_columns_say_the_same(seed):
    draw = np.random.default_rng(seed)
    facts = some_facts(seed, 8, 8)
    needs = tuple(
        replace(
            one, rates=tuple(rate for rate in (EIGHT_HOURS, THREE_FLIGHTS) if draw.random() < 0.7)
        )
        for one in facts.needs
    )
    supplies = tuple(
        replace(
            one,
            left=tuple(
                Left(measure, int(draw.integers(0, most)))
                for measure, most in (("hours", 400_000), ("cycles", 2_000))
                if draw.random() < 0.7
            ),
        )
        for one in facts.supplies
    )
    facts = replace(facts, needs=needs, supplies=supplies)
    columns = columns_of(facts)
    rows, others = np.arange(8)[:, None], np.arange(8)[None, :]

    may = np.argwhere(reason_bits(columns, rows, others) == 0)
    costs = cost_columns(columns, may[:, 0], may[:, 1])

    keyed = {
        (facts.needs[at].key, facts.supplies[other].key): int(cost)
        for (at, other), cost in zip(may.tolist(), costs, strict=True)
    }
    assert keyed == possible(facts)
