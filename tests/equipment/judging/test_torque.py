from __future__ import annotations

from decimal import Decimal as D

from hypothesis import given, settings
from hypothesis import strategies as st

from equipment.judging.measuring.torque import TorqueRule, applied_of, judge_torque, setting_of
from equipment.judging.verdicts import Problem


def numbers(low, high):
    return st.decimals(low, high, places=3, allow_nan=False)


@settings(max_examples=200, deadline=None)
@given(
    torque=numbers("0.1", 10_000),
    length=numbers(1, 100),
    extension=numbers(-120, 120),
    angle=numbers(-360, 360),
)
def test_the_setting_and_the_torque_applied_are_each_others_inverse(
    torque, length, extension, angle
):
    setting = setting_of(torque, length, extension, angle)

    if isinstance(setting, Problem):
        assert isinstance(applied_of(torque, length, extension, angle), Problem)
    else:
        back = applied_of(setting, length, extension, angle)
        assert abs(back - torque) <= torque * D("1e-9")


@settings(max_examples=100, deadline=None)
@given(torque=numbers(1, 1000), length=numbers(5, 100), extension=numbers("0.1", 100))
def test_ahead_needs_a_lower_setting_and_back_a_higher_one(torque, length, extension):
    assert setting_of(torque, length, extension) < torque
    back = setting_of(torque, length, -extension)
    assert isinstance(back, Problem) == (extension >= length)
    assert isinstance(back, Problem) or back > torque


@settings(max_examples=100, deadline=None)
@given(reading=numbers(0, 200), drag=numbers(0, 50))
def test_judging_with_drag_is_judging_the_rest_without(reading, drag):
    low, high = D(20), D(100)

    with_drag = judge_torque(TorqueRule(low, high, "in-lb", has_drag=True), reading, drag)
    net = judge_torque(TorqueRule(low, high, "in-lb"), reading - drag)

    assert (with_drag.verdict, with_drag.by) == (net.verdict, net.by)


def test_a_drag_that_was_typed_counts_though_the_rule_does_not_ask_for_it():
    # AC 43.13-1B ¶7-40 d adds the friction drag to the desired torque, whoever asks for it.
    rule = TorqueRule(D(20), D(25), "N·m")

    assert judge_torque(rule, D(26), D(5)).verdict == "in"
    assert judge_torque(rule, D(24), D(5)).by == "1 N·m too low"
    assert judge_torque(rule, D(24)).verdict == "in"
