from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from equipment.judging.measuring.gas import expected_psig
from equipment.judging.measuring.pressure import (
    Chart,
    check_chart,
    judge_pressure,
    plausible,
    range_at,
)

TEMPERATURES = (-40, 0, 32, 70, 100, 140)


def a_chart(gas="nitrogen", temperatures=TEMPERATURES, low=2900, high=3100):
    """A chart that follows the gas, to the whole psi."""
    points = tuple(
        tuple(D(x) for x in (t, *(round(expected_psig(gas, end, 70, t)) for end in (low, high))))
        for t in temperatures
    )
    return Chart(points, gas, "Component manual 25-60", "4", charge=D(3000))


CHART = a_chart()


def test_between_points_the_chart_is_a_straight_line():
    points = ((D(32), D(2600), D(2800)), (D(72), D(2900), D(3100)))
    chart = Chart(points, "nitrogen", "invented", "1")

    assert range_at(chart, D(52)) == (2750, 2950)
    assert range_at(chart, D(32)) == (2600, 2800)
    assert range_at(chart, D(72)) == (2900, 3100)
    assert range_at(chart, D("72.1")) is None
    assert range_at(chart, D("31.9")) is None


@pytest.mark.parametrize(
    ("reading", "verdict", "by"),
    [
        (2900, "in", ""),
        (3100, "in", ""),
        (2899, "out", "1 psi too low"),
        (3101, "out", "1 psi too high"),
    ],
)
def test_the_band_includes_its_ends(reading, verdict, by):
    answer = judge_pressure(CHART, D(reading), D(70))

    assert (answer.verdict, answer.by) == (verdict, by)
    assert "Component manual 25-60 revision 4" in answer.sentence


def test_a_leak_is_seen_beside_the_verdict():
    answer = plausible("nitrogen", 3100, 100, 2780, 70)

    assert round(answer.expected_psig) == 2871
    assert "91 psi less" in answer.sentence


def test_of_an_unknown_gas_nothing_is_said():
    assert plausible("other", 3000, 70, 2900, 60).expected_psig is None


@pytest.mark.parametrize(("charge", "warmth"), [(0, 70), (-5, 70), (9000, 70), (3000, 400)])
def test_beyond_what_is_known_nothing_is_said(charge, warmth):
    assert plausible("nitrogen", charge, 70, 2900, warmth).expected_psig is None


@pytest.mark.parametrize("gas", ["nitrogen", "oxygen", "air", "helium"])
def test_a_chart_that_follows_its_gas_is_sound(gas):
    assert check_chart(a_chart(gas)) == []


def test_a_chart_by_the_ideal_gas_is_found_out():
    ideal = tuple(
        (
            D(t),
            *((D(end) + D("14.696")) * (D(t) + D("459.67")) / D("529.67") for end in (2900, 3100)),
        )
        for t in TEMPERATURES
    )

    found = check_chart(replace(CHART, points=ideal))

    assert found
    assert all("does not fit nitrogen" in sentence for sentence in found)


def test_a_figure_typed_wrong_in_a_chart_is_found_at_its_point():
    points = list(CHART.points)
    points[4] = (points[4][0], points[4][1] + 100, points[4][2])

    found = check_chart(replace(CHART, points=tuple(points)))

    assert len(found) == 1
    assert found[0].startswith("At 100 °F the least")


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (((70, 2900, 3100),), "at least two points"),
        (((70, 2900, 3100), (70, 2900, 3100)), "does not come after"),
        (((70, 2900, 3100), (32, 2600, 2800)), "does not come after"),
        (((32, 2900, 2800), (70, 2900, 3100)), "is not below the most"),
        (((32, 2600, 2800), (70, 2500, 3100)), "falls from"),
    ],
)
def test_a_chart_out_of_shape_is_said_in_words(points, words):
    exact = tuple((D(a), D(b), D(c)) for a, b, c in points)

    assert words in " ".join(check_chart(replace(CHART, points=exact)))


def test_a_chart_in_bar_is_held_against_the_gas_in_bar():
    in_bar = tuple(
        (t, low / D("14.503774"), high / D("14.503774")) for t, low, high in CHART.points
    )

    assert check_chart(replace(CHART, points=in_bar, unit="bar", charge=None)) == []


@settings(max_examples=60, deadline=None)
@given(
    gas=st.sampled_from(["nitrogen", "oxygen", "air", "helium"]),
    charge=st.integers(200, 5000),
    warmth=st.integers(-65, 150),
)
def test_pressure_rises_with_warmth_and_with_charge(gas, charge, warmth):
    here = expected_psig(gas, charge, 70, warmth)

    assert expected_psig(gas, charge, 70, warmth + 10) > here
    assert expected_psig(gas, charge + 50, 70, warmth) > here


@settings(max_examples=60, deadline=None)
@given(charge=st.integers(200, 4000), warmth=st.integers(-65, 160))
def test_there_and_back_the_charge_is_what_it_was(charge, warmth):
    there = expected_psig("nitrogen", charge, 70, warmth)

    assert expected_psig("nitrogen", there, warmth, 70) == pytest.approx(charge, abs=0.01)
