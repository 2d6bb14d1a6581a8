"""Lights, erection times, leaks and weights (published-facts sections 3 and 5)."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from equipment.judging.leak import LeakReading, LeakRule, judge_leak
from equipment.judging.steps.judge import judge
from equipment.judging.steps.rules import rule_of

# 25.812(i): "for at least 10 minutes".
LIGHT = rule_of("endurance", {"at_least": 10, "unit": "min"})
# 25.810(a)(1)(ii): "automatically erected within 6 seconds after deployment is begun".
SLIDE = rule_of("endurance", {"at_most": 6, "unit": "s"})
# NYC Fire Code FC 904.6.3.1: a loss "of more than 5 percent" is replaced.
AGENT = rule_of("weight", {"loss_percent": 5, "unit": "kg"})
# AC 43.13-1B ¶9-44: the cylinder's weight is at least that stamped on it.
BULB = rule_of("weight", {"at_least": "0.250", "unit": "kg"})


@pytest.mark.parametrize(
    ("typed", "verdict", "by"),
    [
        ("9:59", "out", "1 s short"),
        ("10:00", "in", ""),
        ("10 min", "in", ""),
        ("0:09 h", "out", "1 min short"),
        ("599 s", "out", "1 s short"),
        ("600 s", "in", ""),
    ],
)
def test_a_light_lasts_at_least_ten_minutes(typed, verdict, by):
    # EQ-03.
    answer = judge(LIGHT, {"value": typed}).judgement

    assert (answer.verdict, answer.by) == (verdict, by)


@pytest.mark.parametrize(("seconds", "verdict"), [("6.0", "in"), ("6.1", "out"), ("5,9", "in")])
def test_a_slide_is_erected_within_six_seconds(seconds, verdict):
    # EQ-05.
    assert judge(SLIDE, {"value": seconds}).judgement.verdict == verdict


@pytest.mark.parametrize(
    ("drop", "warmer", "minutes", "verdict"),
    [
        (100, 4, 60, "in"),
        (101, 4, 60, "out"),
        (20, 12, 60, "cannot_judge"),
        (101, -12, 60, "cannot_judge"),
        (20, 10, 60, "cannot_judge"),  # "less than 10 °F"
        (20, 9, 60, "in"),
        (20, 4, 59, "cannot_judge"),
    ],
)
def test_oxygen_loses_at_most_100_psi_in_an_hour_at_steady_warmth(drop, warmer, minutes, verdict):
    # EQ-09, AC 43.13-1B ¶9-50b.
    reading = LeakReading(D(1800), D(1800 - drop), D(70), D(70 + warmer), D(minutes))

    assert judge_leak(LeakRule(), reading).verdict == verdict


def test_a_leak_test_needs_both_temperatures():
    # ¶9-50b: "record pressure and temperature".
    reading = LeakReading(D(1800), D(1800), D(70), None, D(60))

    assert judge_leak(LeakRule(), reading).verdict == "cannot_judge"


@pytest.mark.parametrize(("weight", "verdict"), [("4.75", "in"), ("4.74", "out"), ("5.00", "in")])
def test_a_loss_of_exactly_five_per_cent_is_not_more_than_five(weight, verdict):
    # FX-05.
    assert judge(AGENT, {"value": weight, "full": "5.00"}).judgement.verdict == verdict


@pytest.mark.parametrize(
    ("weight", "verdict"), [("250 g", "in"), ("249 g", "out"), ("0.251", "in")]
)
def test_a_bulb_weighs_at_least_what_is_stamped_on_it(weight, verdict):
    assert judge(BULB, {"value": weight}).judgement.verdict == verdict
