"""Electrical bonding: AC 43.13-1B ¶11-188 and ¶11-189 (published-facts section 4.4)."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.sorts.resistance import ResistanceRule, judge_resistance
from equipment.judging.steps.judge import judge
from equipment.judging.steps.rules import rule_of
from fleet.words.said import THIN

# ¶11-189: "the resistance of each connection does not exceed .003 ohm".
JUMPER = ResistanceRule(D("0.003"), "Ω", is_strict=False)
# ¶11-188f: "a low resistance bond of less than 2.5 millohms".
FRAME = ResistanceRule(D("2.5"), "mΩ", is_strict=True)
JUMPER_STEP = rule_of("resistance", {"limit": "3", "unit": "mΩ", "is_strict": False})


@pytest.mark.parametrize(
    ("ohms", "verdict"), [("0.0029", "in"), ("0.0030", "in"), ("0.0031", "out"), ("0.00301", "out")]
)
def test_a_jumper_does_not_exceed_three_thousandths_of_an_ohm(ohms, verdict):
    # BD-01: the limit itself passes.
    assert judge_resistance(JUMPER, D(ohms)).verdict == verdict


@pytest.mark.parametrize(
    ("milliohms", "verdict"), [("2.49", "in"), ("2.5", "out"), ("2.51", "out")]
)
def test_a_frame_is_bonded_by_less_than_two_and_a_half_milliohms(milliohms, verdict):
    # Section 13 policy 7: "less than" is not "does not exceed".
    assert judge_resistance(FRAME, D(milliohms)).verdict == verdict


def test_three_milliohms_are_equal_to_the_limit_and_pass():
    # BD-03, first half.
    outcome = judge(JUMPER_STEP, {"value": "3", "unit": "mΩ"})

    assert outcome.judgement.verdict == "in"


def test_three_ohms_are_a_thousand_times_too_much_and_questioned():
    # BD-03, second half.
    outcome = judge(JUMPER_STEP, {"value": "3", "unit": "Ω"})

    assert outcome.judgement is None
    assert outcome.question.instead == "3 mΩ"
    assert outcome.sentence.startswith("Is it 3 mΩ?")


def test_three_ohms_meant_are_kept_and_far_off():
    outcome = judge(JUMPER_STEP, {"value": "3", "unit": "Ω", "confirmed": "3 Ω"})

    assert outcome.judgement.verdict == "out"
    assert outcome.judgement.by == f"2{THIN}997 mΩ too high"


@pytest.mark.parametrize("text", ["0.003 ohm", "0,003 Ω", "3 mΩ", "3 milliohm", "3000 µΩ"])
def test_however_it_is_written_the_limit_is_exactly_the_limit(text):
    assert judge_resistance(JUMPER, read_quantity(text, "", expected="Ω").value).verdict == "in"
