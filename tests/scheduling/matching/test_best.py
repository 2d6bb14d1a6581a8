from __future__ import annotations

import random
from itertools import permutations

import networkx
import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import coo_array

from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts, Prices
from scheduling.matching.solving.pairs import possible_pairs
from scheduling.matching.solving.proposal import propose
from scheduling.matching.solving.solve import Grid, cheapest
from tests.scheduling.matching.generated import (
    a_need,
    a_supply,
    best_by_trying_all,
    later,
    possible,
    ranked,
    shuffled,
    some_facts,
    worth,
)


def worth_of(proposal, facts):
    costs = possible(facts)
    return worth(proposal.pairs, ranked(facts, costs), costs)


@pytest.mark.parametrize("block", range(10))
def test_no_other_matching_of_a_small_case_is_better(block):
    short = 0
    for seed in range(block * 300, block * 300 + 300):
        facts = some_facts(seed, needs=1 + seed % 5, supplies=1 + seed // 5 % 4)
        proposal = propose(columns_of(facts))

        assert worth_of(proposal, facts) == best_by_trying_all(facts), seed
        short += len(proposal.short)

    assert short > 50


def test_the_cost_of_a_proposal_is_the_sum_of_its_pairs():
    facts = some_facts(7, needs=30, supplies=40)
    costs = possible(facts)

    proposal = propose(columns_of(facts))

    assert proposal.pairs
    assert proposal.total_cost == sum(costs[pair] for pair in proposal.pairs.items())


@pytest.mark.parametrize("seed", range(6))
def test_a_second_solver_meets_as_many_at_the_same_cost(seed):
    facts = some_facts(seed, needs=60, supplies=50, odd=0.05)
    proposal = propose(columns_of(facts))
    graph = networkx.Graph()
    highest = 1 + max(possible(facts).values())
    for (need, supply), cost in possible(facts).items():
        if need in proposal.pairs:
            graph.add_edge(("need", need), ("supply", supply), weight=highest - cost)

    theirs = networkx.max_weight_matching(graph, maxcardinality=True)

    weight = sum(graph.edges[edge]["weight"] for edge in theirs)
    assert len(theirs) == len(proposal.pairs)
    assert weight == highest * len(theirs) - proposal.total_cost


@pytest.mark.parametrize("seed", range(6))
def test_the_set_met_is_the_one_that_adding_needs_in_order_finds(seed):
    facts = some_facts(seed, needs=60, supplies=45, odd=0.1)
    costs = possible(facts)
    holder: dict[str, str] = {}

    def can_take(need, seen):
        for one, supply in costs:
            if one == need and supply not in seen:
                seen.add(supply)
                if supply not in holder or can_take(holder[supply], seen):
                    holder[supply] = need
                    return True
        return False

    met = {need for need in ranked(facts, costs) if can_take(need, set())}

    assert met == set(propose(columns_of(facts)).pairs)
    assert len(met) < 60


def test_a_linear_programme_finds_the_same_for_a_large_fleet():
    facts = some_facts(3, needs=700, supplies=650, odd=0.05)
    columns = columns_of(facts)
    pairs = possible_pairs(columns)
    proposal = propose(columns)
    high = (1 + int(pairs.cost.max())) * 1000
    each = np.arange(len(pairs.need))
    rows = np.concatenate([pairs.need, 700 + pairs.supply])
    once = coo_array((np.ones(2 * len(each)), (rows, np.tile(each, 2))), shape=(1350, len(each)))
    met = proposal.supply_of >= 0
    # Needs that the proposal leaves unmet are left out of both: which they are is tested above.
    worth_it = np.where(met[pairs.need], pairs.cost - high, 0.0)

    answer = linprog(worth_it, A_ub=once.tocsr(), b_ub=np.ones(1350), method="highs")

    assert round(answer.fun) == proposal.total_cost - high * int(met.sum())


@pytest.mark.parametrize("seed", range(40))
def test_the_order_in_which_facts_come_changes_nothing(seed):
    facts = some_facts(seed, needs=25, supplies=25)
    expected = propose(columns_of(facts))

    for again in range(3):
        proposal = propose(columns_of(shuffled(facts, again)))

        assert proposal.pairs == expected.pairs
        assert proposal.total_cost == expected.total_cost


def test_alike_needs_take_alike_units_in_the_order_of_keys():
    needs = tuple(a_need(key) for key in "cab")
    supplies = tuple(a_supply(key, unit="alike") for key in "42513")

    pairs = propose(columns_of(Facts(needs, supplies))).pairs

    assert pairs == {"a": "1", "b": "2", "c": "3"}


def test_the_earliest_need_is_met_before_the_cheaper_one():
    early = a_need("early", opportunities=(later(40),))
    late = a_need("late", on=later(60), opportunities=(later(499),))

    pairs = propose(columns_of(Facts((late, early), (a_supply(),)))).pairs

    assert pairs == {"early": "supply"}


def test_on_one_day_the_need_with_fewer_units_goes_first():
    easy = a_need("an easy one", station="South")
    hard = a_need("the hard one", least_days=450)
    fits_both = a_supply("fits both", lasts_until=later(500))
    facts = Facts((easy, hard), (fits_both, a_supply("reserved", station="South")))

    assert propose(columns_of(facts)).pairs == {
        "an easy one": "reserved",
        "the hard one": "fits both",
    }


def test_a_locked_pair_stands_and_a_forbidden_one_does_not():
    needs, supplies = (a_need("a"), a_need("b")), (a_supply("1"), a_supply("2"))
    locked = Facts(needs, supplies, locked=(("a", "2"),))
    forbidden = Facts(needs, supplies, forbidden=(("a", "1"), ("b", "1")))

    assert propose(columns_of(locked)).pairs == {"a": "2", "b": "1"}
    assert propose(columns_of(forbidden)).pairs == {"a": "2"}


def test_what_an_earlier_removal_releases_covers_a_later_need():
    first, second = a_need("first"), a_need("second", on=later(100))
    store = a_supply("from the store")
    released = a_supply("released", free_from=later(30 + 45), lasts_until=later(900))

    pairs = propose(columns_of(Facts((first, second), (store, released)))).pairs

    assert pairs == {"first": "from the store", "second": "released"}


def test_nothing_to_match_is_an_empty_proposal():
    assert propose(columns_of(Facts((), ()))).pairs == {}
    assert propose(columns_of(Facts((a_need(),), ()))).short == ["need"]
    assert propose(columns_of(Facts((), (a_supply(),)))).pairs == {}


@pytest.mark.parametrize("twice", ["need", "supply", "lock"])
def test_what_is_given_twice_is_refused(twice):
    needs = (a_need("a"), a_need("b")) + ((a_need("a"),) if twice == "need" else ())
    supplies = (a_supply("1"), a_supply("2")) + ((a_supply("1"),) if twice == "supply" else ())
    locked = (("a", "1"), ("b", "1")) if twice == "lock" else ()

    with pytest.raises(ValueError, match=r"twice|two"):
        columns_of(Facts(needs, supplies, locked=locked))


def test_prices_so_high_that_sums_would_not_be_exact_are_refused():
    needs = tuple(a_need(f"need {number}") for number in range(3))
    supplies = tuple(
        a_supply(f"supply {n}", lasts_until=later(500 + n), shelf_until=later(400 + n * n))
        for n in range(4)
    )
    fine = Prices(life_day=10**15, shelf_day=7)

    with pytest.raises(ValueError, match="too fine"):
        propose(columns_of(Facts(needs, supplies, prices=fine)))


def test_high_prices_with_a_common_measure_are_solved_exactly():
    facts = some_facts(11, needs=30, supplies=30)
    costly = Facts(
        facts.needs,
        facts.supplies,
        facts.ways,
        Prices(10**9, 10**9, 10**9),
        facts.locked,
        facts.forbidden,
    )
    plain = Facts(facts.needs, facts.supplies, facts.ways, Prices(), facts.locked, facts.forbidden)

    assert propose(columns_of(costly)).pairs == propose(columns_of(plain)).pairs


def test_costs_decide_alone_where_the_order_of_units_would_not_be_exact():
    draw = random.Random(4)
    costs = np.array([[draw.randrange(10**15) for _ in range(4)] for _ in range(3)])
    grid = Grid(4, np.arange(0, 13, 4), np.tile(np.arange(4), 3), costs.ravel())
    least = min(sum(costs[range(3), list(chosen)]) for chosen in permutations(range(4), 3))

    assert costs[range(3), cheapest(grid)].sum() == least
