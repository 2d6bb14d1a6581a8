"""What to aim at before a value is read, and whether who aims there is right."""

from __future__ import annotations

import pytest

from equipment.judging.steps.aims import aim_of
from equipment.judging.steps.judge import judge
from equipment.judging.steps.rules import rule_of

ONE = rule_of("torque", {"low": "135", "high": "135", "unit": "in-lb"})
AHEAD = {"extension": "1.5", "wrench_length": "10", "length_unit": "in"}
BACK = {**AHEAD, "extension": "-1.5"}


@pytest.mark.parametrize(
    ("lever", "setting", "set_to"),
    [(AHEAD, "117.4", "117"), (BACK, "158.8", "159")],
)
def test_a_torque_of_one_value_is_aimed_at_and_right_once_set(lever, setting, set_to):
    # AC 43.13-1B figure 7-2 [M]: 135 in-lb, L 10, E 1.5: 117.39, set 117; back 158.82, set 159.
    assert aim_of(ONE, lever) == f"With this extension set the wrench to {setting} in-lb."

    for shown in (setting, set_to):
        assert judge(ONE, {**lever, "value": shown}).judgement.verdict == "in", shown
    assert judge(ONE, {**lever, "value": "115"}).judgement.verdict == "out"


def test_a_torque_of_one_value_is_that_value_on_the_wrench_itself():
    judged = judge(ONE, {"value": "135"}).judgement

    assert (judged.verdict, judged.sentence) == ("in", "135 in-lb is within 135 in-lb.")
    assert judge(ONE, {"value": "136"}).judgement.by == "1 in-lb too high"


def test_a_torque_of_one_value_may_be_read_in_another_unit():
    # TQ-09: 135 in-lb is 15.253 N·m; a wrench that shows hundredths shows 15.25.
    assert judge(ONE, {"value": "15.25", "unit": "N·m"}).judgement.verdict == "in"
    assert judge(ONE, {"value": "15.27", "unit": "N·m"}).judgement.verdict == "out"


def test_with_its_drag_one_value_is_aimed_at_too():
    rule = rule_of("torque", {"low": "20", "high": "20", "unit": "in-lb", "has_drag": True})

    assert aim_of(rule, {"drag": "5"}) == "Set the wrench to 25 in-lb: the drag is in it."
