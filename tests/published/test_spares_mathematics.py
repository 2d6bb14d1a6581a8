"""Spares: minimum path cover, Palm's theorem (published-facts section 9: RAND R-2750, RM-4176-1,
Dilworth and König; the table computed with scipy 1.17.1 as stated there)."""

from __future__ import annotations

from datetime import date, timedelta

import networkx
import numpy as np
import pytest

from scheduling.matching.solving.chains import closed, fewest_chains
from scheduling.matching.solving.float_size import float_size
from scheduling.matching.solving.unforeseen import cover_of, mean_away, spares_for

BOTTLES = {"A": (1, 4), "B": (2, 6), "C": (4, 7), "D": (5, 9), "E": (7, 10), "F": (9, 12)}
TABLE = {
    1.0: [
        (0, 1.000000),
        (0.367879, 0.367879),
        (0.735759, 0.103638),
        (0.919699, 0.023337),
        (0.981012, 0.004349),
        (0.996340, 0.000689),
        (0.999406, 0.000095),
        None,
        (0.999990, 0.000001),
    ],
    2.5: [
        (0, 2.500000),
        (0.082085, 1.582085),
        (0.287297, 0.869382),
        (0.543813, 0.413196),
        (0.757576, 0.170772),
        (0.891178, 0.061950),
        (0.957979, 0.019929),
        None,
        (0.995753, 0.001495),
    ],
    4.0: [
        (0, 4.000000),
        (0.018316, 3.018316),
        (0.091578, 2.109894),
        (0.238103, 1.347997),
        (0.433470, 0.781467),
        (0.628837, 0.410304),
        (0.785130, 0.195435),
        None,
        (0.948866, 0.033627),
    ],
}
CELLS = [
    (mean, spares, *cell)
    for mean, column in TABLE.items()
    for spares, cell in enumerate(column)
    if cell
]


def days(numbers):
    return [date(2027, 1, 1) + timedelta(number) for number in numbers]


def test_pc_01_six_bottles_need_three_spares_by_overlap():
    answer = float_size(days(a for a, _ in BOTTLES.values()), days(b for _, b in BOTTLES.values()))

    assert answer.spares == 3
    assert ["ABCDEF"[at] for at in answer.together] == ["B", "C", "D"]


def test_pc_01_six_bottles_need_three_spares_by_matching_and_cover():
    spans = list(BOTTLES.values())
    pairs = {(i, j) for i in range(6) for j in range(6) if spans[j][0] >= spans[i][1]}

    answer = fewest_chains(6, pairs)

    assert len(pairs) == 9
    assert sum(at >= 0 for at in answer.next_of) == 3
    assert answer.chains == 3
    assert sum(map(len, answer.cover)) == 3
    antichains = list(networkx.antichains(networkx.DiGraph(pairs)))
    assert max(map(len, antichains)) == 3
    assert {1, 2, 3} in map(set, antichains)


def test_pc_03_a_graph_is_closed_before_dilworth():
    pairs = {(0, 2), (1, 2), (2, 3), (2, 4)}

    assert fewest_chains(5, pairs).chains == 3
    assert fewest_chains(5, closed(5, pairs)).chains == 2


@pytest.mark.parametrize("needs", [0, 1, 7])
def test_pc_05_where_no_two_go_together_each_need_wants_its_own(needs):
    same = days([3] * needs), days([9] * needs)

    assert fewest_chains(needs, []).chains == needs
    assert float_size(*same).spares == needs


@pytest.mark.parametrize(("mean", "spares", "fill", "waiting"), CELLS)
def test_fill_rate_and_waiting_are_those_of_the_table(mean, spares, fill, waiting):
    answer = cover_of(mean, spares)

    assert answer.fill_rate == pytest.approx(fill, abs=5e-7)
    assert answer.waiting == pytest.approx(waiting, abs=5e-7)


def test_sp_01_twenty_aircraft_with_eight_slides():
    removals = 20 * 8 / 3

    assert removals == pytest.approx(53.333, abs=1e-3)
    assert mean_away(removals, 45) == pytest.approx(6.575342, abs=5e-7)


@pytest.mark.parametrize("mean", [0.0, 0.3, 2.5, 40.0])
def test_sp_03_without_a_spare_all_wait(mean):
    answer = cover_of(mean, 0)

    assert (answer.fill_rate, answer.waiting) == (0.0, mean)


@pytest.mark.parametrize("mean", [0.0, 0.2, 1.0, 6.575342, 55.0])
def test_one_spare_more_takes_off_the_share_of_time_that_somebody_waits(mean):
    for spares in range(80):
        one, more = cover_of(mean, spares), cover_of(mean, spares + 1)

        assert more.waiting == pytest.approx(one.waiting - (1 - one.ready_rate), abs=1e-12)
        assert more.fill_rate == one.ready_rate


@pytest.mark.parametrize("mean", [0.0, 0.01, 1.0, 2.5, 6.575342, 300.0])
@pytest.mark.parametrize("wanted", [0.0, 0.5, 0.9, 0.95, 0.999])
def test_the_number_for_a_fill_rate_is_the_smallest(mean, wanted):
    answer = spares_for(mean, wanted)

    assert answer.fill_rate >= wanted
    assert answer.spares == 0 or cover_of(mean, answer.spares - 1).fill_rate < wanted


@pytest.mark.parametrize("rate", [-0.1, 1.0, 1.5])
def test_a_rate_that_no_number_can_promise_is_refused(rate):
    with pytest.raises(ValueError, match="fill rate"):
        spares_for(2.0, rate)


@pytest.mark.parametrize("wanted", [(-1, 5), (3, -5)])
def test_negative_rates_and_times_are_refused(wanted):
    with pytest.raises(ValueError, match="nought or more"):
        mean_away(*wanted)


def test_the_share_that_finds_a_spare_in_a_long_run_is_the_fill_rate():
    draw = np.random.default_rng(7)
    out = np.cumsum(draw.exponential(0.1, 60_000))
    back = np.sort(out + 0.1)
    away = np.arange(len(out)) - np.searchsorted(back, out, side="right")

    assert (away < 2).mean() == pytest.approx(cover_of(1.0, 2).fill_rate, abs=0.01)
