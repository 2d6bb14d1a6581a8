from __future__ import annotations

import random
from dataclasses import replace
from datetime import timedelta

import pytest

from scheduling.bench.matching import invented, match_change
from scheduling.matching.facts.change import Change
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.renew import renew
from tests.scheduling.matching.generated import (
    a_need,
    a_supply,
    changed_facts,
    some_facts,
    some_need,
    some_supply,
)


def some_change(draw, facts, number):
    need, supply = draw.choice(facts.needs), draw.choice(facts.supplies)
    locked_needs = {one for one, _ in facts.locked}
    locked_supplies = {one for _, one in facts.locked}
    can_lock = need.key not in locked_needs and supply.key not in locked_supplies
    changes = [
        Change(needs=(some_need(draw, 1000 + number, 0.1),)),
        Change(needs=(replace(need, on=need.on + timedelta(draw.randint(-20, 20))),)),
        Change(gone_needs=(need.key,)),
        Change(supplies=(some_supply(draw, 1000 + number, 0.1),)),
        Change(supplies=(replace(supply, is_serviceable=not supply.is_serviceable),)),
        Change(supplies=(replace(supply, free_from=None),)),
        Change(gone_supplies=(supply.key,)),
        Change(forbid=((need.key, supply.key),)),
        Change(allow=facts.forbidden[:1]),
        Change(unlock=facts.locked[:1]),
        Change(lock=((need.key, supply.key),)) if can_lock else Change(),
    ]
    return draw.choice(changes)


@pytest.mark.parametrize("seed", range(60))
def test_after_each_of_many_changes_it_is_what_working_out_everything_gives(seed):
    draw = random.Random(seed)
    facts = some_facts(seed, needs=3 + seed % 15, supplies=3 + seed % 11)
    proposal = propose(columns_of(facts))
    for number in range(12):
        if not facts.needs or not facts.supplies:
            break
        change = some_change(draw, facts, number)
        facts, proposal = changed_facts(facts, change), renew(proposal, change)
        whole = propose(columns_of(facts))

        assert proposal.pairs == whole.pairs, change
        assert proposal.total_cost == whole.total_cost
        assert proposal.short == whole.short


@pytest.mark.slow
def test_for_a_whole_fleet_too_and_in_a_fraction_of_the_time():
    facts, draw = invented(), random.Random(8)
    proposal = propose(columns_of(facts))
    for number in range(6):
        change = some_change(draw, facts, number)
        facts, proposal = changed_facts(facts, change), renew(proposal, change)

    whole = propose(columns_of(facts))

    assert len(proposal.pairs) > 3000
    assert proposal.pairs == whole.pairs
    assert match_change(changes=5).ok


def test_groups_that_the_change_does_not_reach_are_left_alone():
    families = [
        (a_need(f"need {part}", fits=(), family=part), a_supply(f"supply {part}", part=part))
        for part in ("P", "Q")
    ]
    fitting = tuple(
        replace(need, fits=(replace(a_need().fits[0], part=need.family),)) for need, _ in families
    )
    facts = Facts(fitting, tuple(supply for _, supply in families))
    before = propose(columns_of(facts))

    after = renew(before, Change(supplies=(replace(families[0][1], is_quarantined=True),)))

    assert after.short == ["need P"]
    assert after.need_group[1] == before.need_group[1]
    assert after.need_group[0] != before.need_group[0]


def test_the_proposal_before_stays_as_it_was():
    facts = some_facts(3, needs=10, supplies=10)
    before = propose(columns_of(facts))
    pairs, numbers = before.pairs, len(before.columns.book.needs)

    renew(before, Change(needs=(a_need("quite new"),), gone_supplies=("supply 1",)))

    assert before.pairs == pairs
    assert len(before.columns.book.needs) == numbers


def test_the_first_need_and_supply_of_an_empty_plan_are_matched():
    empty = propose(columns_of(Facts((), ())))

    one = renew(renew(empty, Change(needs=(a_need(),))), Change(supplies=(a_supply(),)))

    assert one.pairs == {"need": "supply"}
    assert renew(one, Change(gone_supplies=("supply",))).short == ["need"]


def test_a_lock_waits_for_a_unit_that_is_not_there_yet():
    facts = Facts((a_need("a"), a_need("b")), (a_supply("1"),), locked=(("a", "2"),))
    before = propose(columns_of(facts))

    after = renew(before, Change(supplies=(a_supply("2"),)))

    assert before.pairs == {"b": "1"}
    assert after.pairs == {"a": "2", "b": "1"}


def test_locking_to_two_is_refused():
    before = propose(columns_of(Facts((a_need(),), (a_supply("1"), a_supply("2")))))

    with pytest.raises(ValueError, match="locked to two"):
        renew(before, Change(lock=(("need", "1"), ("need", "2"))))
