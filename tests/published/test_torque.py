"""Torque: AC 43.13-1B ¶7-40 and Table 7-1, and three handbooks' extensions (published-facts section 4)."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.measuring.torque import (
    TorqueRule,
    applied_of,
    final_range,
    judge_torque,
    setting_of,
)
from equipment.judging.verdicts import Problem

# AC 43.13-1B Table 7-1, in-lb, oil-free cadmium-plated threads: tension nuts, shear nuts.
TABLE_7_1 = {
    "8-36": ((12, 15), (7, 9)),
    "10-32": ((20, 25), (12, 15)),
    "1/4-28": ((50, 70), (30, 40)),
    "5/16-24": ((100, 140), (60, 85)),
    "3/8-24": ((160, 190), (95, 110)),
    "7/16-20": ((450, 500), (270, 300)),
    "1/2-20": ((480, 690), (290, 410)),
    "9/16-18": ((800, 1000), (480, 600)),
    "5/8-18": ((1100, 1300), (600, 780)),
    "3/4-16": ((2300, 2500), (1300, 1500)),
    "7/8-14": ((2500, 3000), (1500, 1800)),
    "1-14": ((3700, 5500), (2200, 3300)),
    "1-1/8-12": ((5000, 7000), (3000, 4200)),
    "1-1/4-12": ((9000, 11000), (5400, 6600)),
    "8-32": ((12, 15), (7, 9)),
    "10-24": ((20, 25), (12, 15)),
    "1/4-20": ((40, 50), (25, 30)),
    "5/16-18": ((80, 90), (48, 55)),
    "3/8-16": ((160, 185), (95, 100)),
    "7/16-14": ((235, 255), (140, 155)),
    "1/2-13": ((400, 480), (240, 290)),
    "9/16-12": ((500, 700), (300, 420)),
    "5/8-11": ((700, 900), (420, 540)),
    "3/4-10": ((1150, 1600), (700, 950)),
    "7/8-9": ((2200, 3000), (1300, 1800)),
}
RANGES = [
    pytest.param(D(low), D(high), id=f"{thread} {nut}")
    for thread, pair in TABLE_7_1.items()
    for nut, (low, high) in zip(("tension", "shear"), pair, strict=True)
]


@pytest.mark.parametrize(
    ("source", "wanted", "length", "extension", "setting"),
    [
        # AC 43.13-1B figure 7-2 [M]: T = 135 in-lb, L = 10.0 in, E = 1.5 in, ahead and back.
        ("TQ-01 ahead", 135, "10", "1.5", "117.3913"),
        ("TQ-01 back", 135, "10", "-1.5", "158.8235"),
        ("TQ-01 none", 135, "10", "0", "135"),
        # US Army TM 1-1500-204-23-9 figure 8-16: "TW = 214 inch-pounds".
        ("TM 1-1500-204-23-9", 300, "10", "4", "214.2857"),
        # TM 9-2350-277-40&P p. 0004-00044: "480/16 = 30 lb-ft".
        ("TM 9-2350-277-40&P", 40, "12", "4", "30"),
        # TM 9-254 figure 45, turned round: 70 in-lb at the fastener is a setting of 60.
        ("TM 9-254", 70, "12", "2", "60"),
    ],
)
def test_an_extension_changes_the_setting_as_published(source, wanted, length, extension, setting):
    answer = setting_of(D(wanted), D(length), D(extension))

    assert round(answer, 4) == D(setting)


def test_the_army_rounds_214_and_the_circular_117_and_159():
    published = [(300, "10", "4", 214), (135, "10", "1.5", 117), (135, "10", "-1.5", 159)]

    assert [round(setting_of(D(t), D(w), D(e))) for t, w, e, _ in published] == [
        rounded for *_, rounded in published
    ]


def test_what_the_wrench_shows_gives_the_torque_at_the_fastener():
    # TQ-03, TM 9-254 figure 45: "TA = 60 × 14/12 = 70 in-lb".
    assert applied_of(D(60), D(12), D(2)) == D(70)


@pytest.mark.parametrize("angle", [90, 270, -90])
def test_at_a_right_angle_the_value_does_not_change(angle):
    # NAVEDTRA 14008: "If the extension is pointed at a right angle … the actual value does not change."
    assert setting_of(D(135), D(10), D("1.5"), D(angle)) == D(135)


def test_an_angled_extension_counts_by_its_cosine():
    # TM 9-254 figure 46: L = I_T + I_A · cos a. At 60° half of it counts; at 180° all of it, back.
    assert round(applied_of(D(60), D(12), D(4), D(60)), 9) == D(70)
    assert setting_of(D(135), D(10), D("1.5"), D(180)) == setting_of(D(135), D(10), D("-1.5"))


@pytest.mark.parametrize(
    ("length", "extension"), [("10", "-10"), ("10", "-10.5"), ("10", "-1000"), ("0", "1")]
)
def test_an_extension_that_leaves_no_lever_is_an_error_never_a_number(length, extension):
    # TQ-05.
    for reckoned in (setting_of, applied_of):
        assert isinstance(reckoned(D(135), D(length), D(extension)), Problem)


@pytest.mark.parametrize(
    ("final", "net", "verdict", "by"),
    [
        (70, "62 in-lb", "in", ""),
        (57, "49 in-lb", "out", "1 in-lb too low"),
        (79, "71 in-lb", "out", "1 in-lb too high"),
        (58, "50 in-lb", "in", ""),  # ¶7-40f: minimum + drag
        (78, "70 in-lb", "in", ""),  # ¶7-40f: does not exceed maximum + drag
    ],
)
def test_friction_drag_is_added_to_the_range(final, net, verdict, by):
    # TQ-07: 1/4-28 tension, 50 to 70 in-lb; ¶7-40d with a drag of 8.
    quarter_28 = TorqueRule(D(50), D(70), "in-lb", has_drag=True)

    answer = judge_torque(quarter_28, D(final), D(8))

    assert (answer.verdict, answer.by) == (verdict, by)
    assert net in answer.sentence
    assert final_range(quarter_28, D(8)) == (58, 78)


def test_a_drag_not_recorded_is_not_taken_for_none():
    # ¶7-40c: "check the friction drag torque".
    rule = TorqueRule(D(50), D(70), "in-lb", has_drag=True)

    assert judge_torque(rule, D(60), None).verdict == "cannot_judge"


def test_135_inch_pounds_are_15_253_newton_metres():
    # TQ-09.
    assert round(read_quantity("135 in-lb", "", expected="N·m").value, 3) == D("15.253")


@pytest.mark.parametrize(("low", "high"), RANGES)
def test_each_range_of_table_7_1_includes_its_ends_and_nothing_beyond(low, high):
    rule = TorqueRule(low, high, "in-lb")
    readings = [low - D("0.1"), low, (low + high) / 2, high, high + D("0.1")]

    verdicts = [judge_torque(rule, reading).verdict for reading in readings]

    assert verdicts == ["out", "in", "in", "in", "out"]


@pytest.mark.parametrize(("low", "high"), RANGES)
@pytest.mark.parametrize(("unit", "inch_pounds"), [("N·m", "8.850745767"), ("ft-lb", "12")])
def test_each_range_of_table_7_1_is_the_same_in_another_unit(low, high, unit, inch_pounds):
    # 1 N·m = 8.850745767 in-lb (1 in = 25.4 mm, 1 lbf = 4.4482216152605 N, exact).
    rule = TorqueRule(low, high, "in-lb")
    inside, over = (low + high) / 2, high + D("0.5")
    typed = [f"{value / D(inch_pounds):.6f} {unit}" for value in (inside, over)]

    verdicts = [
        judge_torque(rule, read_quantity(text, "", expected="in-lb").value).verdict
        for text in typed
    ]

    assert verdicts == ["in", "out"]
