"""Resistance, counts, weights, times and function: the edges."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from equipment.judging.sorts.count import CountRule, judge_count
from equipment.judging.sorts.endurance import EnduranceRule, judge_endurance
from equipment.judging.sorts.function import FunctionRule, judge_function
from equipment.judging.sorts.resistance import ResistanceRule, judge_resistance
from equipment.judging.sorts.weight import WeightRule, judge_weight


@given(reading=st.decimals(0, 10, places=4), limit=st.decimals("0.1", 9, places=4))
def test_strict_and_not_differ_at_the_limit_alone(reading, limit):
    strict, plain = (
        judge_resistance(ResistanceRule(limit, "mΩ", is_strict=each), reading).verdict
        for each in (True, False)
    )

    assert (strict != plain) is (reading == limit)
    assert plain == ("in" if reading <= limit else "out")


@pytest.mark.parametrize(
    ("returned", "fitted", "verdict", "by"),
    [
        (2, 2, "in", ""),
        (1, 2, "out", "1 missing"),
        (0, 3, "out", "3 missing"),
        (3, 2, "out", "1 too many"),
        (2, None, "cannot_judge", ""),
    ],
)
def test_every_pin_fitted_is_accounted_for(returned, fitted, verdict, by):
    answer = judge_count(CountRule("safety pins", is_returned=True), returned, fitted)

    assert (answer.verdict, answer.by) == (verdict, by)


@pytest.mark.parametrize(("count", "verdict"), [(5, "out"), (6, "in"), (7, "out")])
def test_a_number_laid_down_is_that_number(count, verdict):
    assert judge_count(CountRule("vests", 6), count).verdict == verdict


def test_a_count_without_a_number_is_only_recorded():
    assert judge_count(CountRule("pins fitted"), 4).verdict == "in"


@pytest.mark.parametrize(
    ("is_strict", "weight", "verdict"),
    [(False, "4.75", "in"), (True, "4.75", "out"), (True, "4.7501", "in"), (False, "5.2", "in")],
)
def test_a_loss_may_reach_its_percentage_unless_it_must_stay_below(is_strict, weight, verdict):
    rule = WeightRule("kg", loss_percent=D(5), is_strict=is_strict)

    assert judge_weight(rule, D(weight), D("5.00")).verdict == verdict


@pytest.mark.parametrize("full", [None, D(0)])
def test_a_loss_without_a_full_weight_is_not_judged(full):
    assert judge_weight(WeightRule("kg", loss_percent=D(5)), D(4), full).verdict == "cannot_judge"


def test_below_the_stamped_weight_it_is_out_whatever_it_lost():
    rule = WeightRule("kg", at_least=D(5), loss_percent=D(5))

    answer = judge_weight(rule, D("4.9"), None)

    assert (answer.verdict, answer.by) == ("out", "0.1 kg too light")


@pytest.mark.parametrize(
    ("minutes", "said"), [("9.5", "9 min 30 s"), ("10", "10 min"), ("0.25", "15 s")]
)
def test_times_are_said_in_minutes_and_seconds(minutes, said):
    rule = EnduranceRule(D(10), None, "min")

    assert judge_endurance(rule, D(minutes)).sentence.startswith(said)


def test_too_long_is_out_too_where_there_is_a_most():
    rule = EnduranceRule(D(2), D(6), "s")

    assert judge_endurance(rule, D("6.1")).by == "0.1 s too long"
    assert judge_endurance(rule, D("1.5")).by == "0.5 s short"


@pytest.mark.parametrize(
    ("is_pass", "reading", "verdict"),
    [
        (True, "5.2", "in"),
        (True, "4.9", "out"),
        (True, None, "cannot_judge"),
        (False, "5.2", "out"),
        (False, None, "out"),
    ],
)
def test_a_function_test_with_a_reading_needs_both(is_pass, reading, verdict):
    rule = FunctionRule(D(5), D(6), "V")

    assert judge_function(rule, is_pass, D(reading) if reading else None).verdict == verdict


def test_a_function_test_without_a_reading_is_pass_or_fail():
    assert judge_function(FunctionRule(), is_pass=True).verdict == "in"
    assert judge_function(FunctionRule(), is_pass=False).verdict == "out"
