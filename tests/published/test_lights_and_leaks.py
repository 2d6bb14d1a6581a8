"""Lights, erection times, leaks and weights (published-facts sections 3 and 5)."""

from __future__ import annotations

import pytest

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


# AC 43.13-1B ¶9-50b.
LEAK = rule_of("leak", {"most_drop": 100, "unit": "psi", "minutes": 60, "steady_f": 10})


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
    # EQ-09.
    typed = {"before": "1800", "after": str(1800 - drop), "before_temperature": "70"}
    typed |= {"after_temperature": str(70 + warmer), "value": str(minutes)}

    assert judge(LEAK, typed).judgement.verdict == verdict


def test_a_leak_test_is_read_in_bar_and_celsius_too():
    # EQ-09: 100 psi is 6.895 bar; 4 °F is 2.2 °C.
    typed = {"unit": "bar", "temperature_unit": "°C", "before": "124.1", "before_temperature": "21"}
    typed |= {"after_temperature": "23.2", "value": "1:00 h"}

    assert judge(LEAK, {**typed, "after": "117.3"}).judgement.verdict == "in"
    assert judge(LEAK, {**typed, "after": "117.1"}).judgement.verdict == "out"


def test_a_leak_test_needs_both_temperatures():
    # ¶9-50b: "record pressure and temperature".
    typed = {"before": "1800", "after": "1800", "before_temperature": "70", "value": "60"}

    assert judge(LEAK, typed).judgement.verdict == "cannot_judge"


# 25.810(a)(1)(v): five consecutive deployments without failure.
FIVE = rule_of("series", {"in_a_row": 5})


@pytest.mark.parametrize(
    ("results", "verdict", "by"),
    [
        ("pass pass pass pass pass", "in", ""),
        ("p, p, p, f", "out", "5 to go"),
        ("p, p, p, f, p", "out", "4 to go"),
        ("p, p, p, f, p, p, p, p", "out", "1 to go"),
        ("p, p, p, f, p, p, p, p, p", "in", ""),
    ],
)
def test_after_a_failure_the_full_series_of_five_begins_again(results, verdict, by):
    # EQ-07: test 4 fails: the full series of five restarts.
    answer = judge(FIVE, {"results": results}).judgement

    assert (answer.verdict, answer.by) == (verdict, by)


@pytest.mark.parametrize(
    ("rule", "typed", "verdict"),
    [
        # 121.310(b)(2): a sign is removed below 250 microlamberts.
        ({"low": 250, "unit": "µL"}, {"value": "250"}, "in"),
        ({"low": 250, "unit": "µL"}, {"value": "249"}, "out"),
        # 25.812(b)(1): at least 25 foot-lamberts; 1 fL is 3.4263 cd/m².
        ({"low": 25, "unit": "fL"}, {"value": "86 cd/m²"}, "in"),
        ({"low": 25, "unit": "fL"}, {"value": "85 cd/m²"}, "out"),
        # 25.812(h): at least 0.03 foot-candle at the ground end of a slide; 0.3229 lx.
        ({"low": "0.03", "unit": "fc"}, {"value": "0.33 lx"}, "in"),
        ({"low": "0.03", "unit": "fc"}, {"value": "0.32 lx"}, "out"),
        ({"low": 10, "unit": "MΩ"}, {"value": "0.02 GΩ"}, "in"),
        ({"low": 10, "unit": "MΩ"}, {"value": "9.9"}, "out"),
        ({"low": 20, "high": 30, "unit": "lbf"}, {"value": "111.2 N"}, "in"),
        ({"low": 2, "high": 4, "unit": "l/min"}, {"value": "4100 ml/min"}, "out"),
        ({"high": 5, "unit": "mA", "is_strict": True}, {"value": "5"}, "out"),
    ],
)
def test_light_flow_force_and_insulation_are_measured_in_their_units(rule, typed, verdict):
    outcome = judge(rule_of("measured", rule), typed)

    assert outcome.judgement, outcome
    assert outcome.judgement.verdict == verdict


@pytest.mark.parametrize(("weight", "verdict"), [("4.75", "in"), ("4.74", "out"), ("5.00", "in")])
def test_a_loss_of_exactly_five_per_cent_is_not_more_than_five(weight, verdict):
    # FX-05.
    assert judge(AGENT, {"value": weight, "full": "5.00"}).judgement.verdict == verdict


@pytest.mark.parametrize(
    ("weight", "verdict"), [("250 g", "in"), ("249 g", "out"), ("0.251", "in")]
)
def test_a_bulb_weighs_at_least_what_is_stamped_on_it(weight, verdict):
    assert judge(BULB, {"value": weight}).judgement.verdict == verdict
