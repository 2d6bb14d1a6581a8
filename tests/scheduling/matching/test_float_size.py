from __future__ import annotations

import random
import time
import tracemalloc
from datetime import timedelta

import networkx
import pytest

from scheduling.matching.facts.facts import Fit
from scheduling.matching.facts.fits import fit_reasons_of_part
from scheduling.matching.solving.chains import Released, closed, fewest_chains, serving_pairs
from scheduling.matching.solving.float_size import float_size
from tests.scheduling.matching.generated import a_need, later, some_need


def some_outs(seed, many, span=400, longest=90):
    draw = random.Random(seed)
    outs = [later(draw.randrange(span)) for _ in range(many)]
    return outs, [out + timedelta(draw.randint(1, longest)) for out in outs]


def runs_out(outs, backs, spares):
    """Plays the days: whether somebody finds the shelf empty. What is back in the morning goes out again."""
    shelf = spares
    for day in range(min(outs).toordinal(), max(backs).toordinal() + 1):
        shelf += sum(back.toordinal() == day for back in backs)
        shelf -= sum(out.toordinal() == day for out in outs)
        if shelf < 0:
            return True
    return False


@pytest.mark.parametrize("seed", range(60))
def test_with_the_answer_no_day_runs_out_and_with_one_fewer_some_day_does(seed):
    outs, backs = some_outs(seed, 1 + seed)

    answer = float_size(outs, backs)

    assert not runs_out(outs, backs, answer.spares)
    assert runs_out(outs, backs, answer.spares - 1)


@pytest.mark.parametrize("seed", range(40))
def test_the_answer_carries_its_own_proof(seed):
    outs, backs = some_outs(seed, 3 * seed + 1)

    answer = float_size(outs, backs)

    assert len(answer.together) == answer.spares
    assert all(outs[at] <= answer.on < backs[at] for at in answer.together)
    assert set(answer.spare_of) == set(range(answer.spares))
    for spare in range(answer.spares):
        turns = sorted(
            (outs[at], backs[at]) for at, one in enumerate(answer.spare_of) if one == spare
        )
        assert all(turns[at][1] <= turns[at + 1][0] for at in range(len(turns) - 1))


@pytest.mark.parametrize("seed", range(30))
def test_overlap_of_days_and_matching_of_the_order_give_one_number(seed):
    outs, backs = some_outs(seed, 5 + seed)
    needs = range(len(outs))
    pairs = {(i, j) for i in needs for j in needs if backs[i] <= outs[j]}

    cover = fewest_chains(len(outs), pairs)

    assert cover.chains == float_size(outs, backs).spares
    assert closed(len(outs), pairs) == pairs


@pytest.mark.parametrize("seed", range(20))
def test_the_most_out_in_each_month_is_what_counting_day_by_day_gives(seed):
    outs, backs = some_outs(seed, 2 + seed, span=300)

    months = float_size(outs, backs).months

    last = max(backs)
    day, counted = min(outs).replace(day=1), {}
    while day <= last:
        many = sum(out <= day < back for out, back in zip(outs, backs, strict=True))
        counted[day.replace(day=1)] = max(counted.get(day.replace(day=1), 0), many)
        day += timedelta(1)
    assert {one.month: one.spares for one in months} == counted
    for one in months:
        out = [at for at, day in enumerate(outs) if day <= one.on < backs[at]]
        assert len(out) == one.spares
    assert all(one.on.replace(day=1) == one.month for one in months)


def test_a_unit_that_is_back_on_a_day_goes_out_again_on_that_day():
    assert float_size([later(0), later(9)], [later(9), later(20)]).spares == 1
    assert float_size([later(0), later(9)], [later(10), later(20)]).spares == 2


def test_a_unit_is_out_for_one_day_at_least():
    with pytest.raises(ValueError, match="one day at least"):
        float_size([later(3)], [later(3)])


def test_twenty_thousand_needs_take_seconds_and_little_memory():
    outs, backs = some_outs(1, 20_000, span=3650, longest=60)
    tracemalloc.start()
    begun = time.perf_counter()

    answer = float_size(outs, backs)

    seconds, (_, peak) = time.perf_counter() - begun, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert answer.spares > 100
    assert seconds < 5
    assert peak < 32 * 2**20


@pytest.mark.parametrize("seed", range(40))
def test_any_graph_without_circles_is_covered_by_as_few_chains_as_a_second_library_finds(seed):
    draw = random.Random(seed)
    needs = draw.randint(1, 18)
    pairs = {(i, j) for j in range(needs) for i in range(j) if draw.random() < 0.2}
    graph = networkx.Graph([(("gives", i), ("takes", j)) for i, j in pairs])
    givers = {node for node in graph if node[0] == "gives"}

    answer = fewest_chains(needs, pairs)

    theirs = networkx.bipartite.hopcroft_karp_matching(graph, givers)
    assert answer.chains == needs - len(theirs) // 2
    followed = [at for at in answer.next_of if at >= 0]
    assert len(set(followed)) == len(followed) == needs - answer.chains
    assert all((at, then) in pairs for at, then in enumerate(answer.next_of) if then >= 0)


@pytest.mark.parametrize("seed", range(40))
def test_the_cover_of_the_pairs_is_as_large_as_the_links_so_no_chains_can_be_fewer(seed):
    draw = random.Random(seed)
    needs = draw.randint(1, 18)
    pairs = {(i, j) for j in range(needs) for i in range(j) if draw.random() < 0.25}

    answer = fewest_chains(needs, pairs)

    givers, takers = answer.cover
    assert len(givers) + len(takers) == needs - answer.chains
    assert all(i in givers or j in takers for i, j in pairs)


@pytest.mark.parametrize("seed", range(15))
def test_passing_on_is_what_a_second_library_finds(seed):
    draw = random.Random(seed)
    pairs = {(i, j) for j in range(12) for i in range(j) if draw.random() < 0.2}
    theirs = networkx.transitive_closure_dag(networkx.DiGraph(pairs))

    assert closed(12, pairs) == set(theirs.edges)


@pytest.mark.parametrize("circle", [[(0, 1), (1, 2), (2, 0)], [(1, 1)]])
def test_a_circle_is_refused(circle):
    with pytest.raises(ValueError, match="circle"):
        fewest_chains(3, circle)
    with pytest.raises(ValueError, match="circle"):
        closed(3, circle)


@pytest.mark.parametrize("seed", range(20))
def test_where_every_part_fits_everywhere_the_float_is_that_of_the_days(seed):
    outs, backs = some_outs(seed, 30)
    needs = [a_need(f"need {at}", on=out) for at, out in enumerate(outs)]
    released = [Released("SL-1", back) for back in backs]

    pairs = serving_pairs(needs, released)

    assert fewest_chains(len(needs), pairs).chains == float_size(outs, backs).spares


def test_a_released_part_that_fits_no_later_need_asks_for_one_more_spare():
    both, old = (Fit("SL-1"), Fit("SL-2")), (Fit("SL-1"),)
    needs = [a_need("first", on=later(0), fits=both), a_need("second", on=later(90), fits=old)]
    new_comes_off = [Released("SL-2", later(45)), Released("SL-1", later(135))]
    old_comes_off = [Released("SL-1", later(45)), Released("SL-1", later(135))]

    assert fewest_chains(2, serving_pairs(needs, new_comes_off)).chains == 2
    assert fewest_chains(2, serving_pairs(needs, old_comes_off)).chains == 1


@pytest.mark.parametrize("seed", range(10))
def test_pairs_are_those_that_asking_one_by_one_finds(seed):
    draw = random.Random(seed)
    needs = [some_need(draw, number, 0.4) for number in range(20)]
    released = [
        Released(
            draw.choice(["SL-1", "SL-2"]),
            need.on + timedelta(draw.randint(1, 20)),
            draw.choice("AC"),
            quantity=draw.choice([1, 6]),
        )
        for need in needs
    ]

    pairs = {tuple(pair) for pair in serving_pairs(needs, released).tolist()}

    expected = {
        (i, j)
        for i, unit in enumerate(released)
        for j, need in enumerate(needs)
        if unit.back <= need.on
        and unit.quantity >= need.quantity
        and not fit_reasons_of_part(need.fits, need.msn, unit.part, unit.standard, "")
    }
    assert pairs == expected


def test_a_fleet_of_three_thousand_needs_with_parts_takes_a_moment():
    outs, backs = some_outs(2, 3000, span=3650)
    needs = [a_need(f"need {at}", on=out) for at, out in enumerate(outs)]
    begun = time.perf_counter()

    chains = fewest_chains(3000, serving_pairs(needs, [Released("SL-1", back) for back in backs]))

    assert chains.chains == float_size(outs, backs).spares
    assert time.perf_counter() - begun < 20
