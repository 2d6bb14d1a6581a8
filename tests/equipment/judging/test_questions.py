from __future__ import annotations

from decimal import Decimal as D

import pytest

from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.measuring.questions import questioned


def asked(text, expected, low, high):
    ends = [None if end is None else D(end) for end in (low, high)]
    question = questioned(read_quantity(text, "", expected=expected), *ends)
    return question and question.instead


@pytest.mark.parametrize(
    ("text", "expected", "low", "high", "instead"),
    [
        ("3 ohm", "mΩ", None, 3, "3 mΩ"),  # 1000
        ("5 ohm", "mΩ", None, 3, "5 mΩ"),  # off in both, but a thousand times less off
        ("0.003 mΩ", "mΩ", None, 3, "0.003 Ω"),  # would pass unseen
        ("22 ft-lb", "in-lb", 20, 25, "22 in-lb"),  # 12
        ("22 in-lb", "ft-lb", 20, 25, "22 ft-lb"),
        ("22 N·m", "in-lb", 20, 25, "22 in-lb"),  # 8.85
        ("220 in-lb", "N·m", 200, 250, "220 N·m"),
        ("200 psi", "psi", 2700, 3000, "200 bar"),  # 14.5
        ("2900 bar", "psi", 2700, 3000, "2\u202f900 psi"),
        ("600", "min", 10, None, "600 s"),  # 60: would pass unseen
        ("4750", "kg", "4.5", "5.5", "4\u202f750 g"),
    ],
)
def test_a_value_that_would_be_right_in_another_unit_is_questioned(
    text, expected, low, high, instead
):
    assert asked(text, expected, low, high) == instead


@pytest.mark.parametrize(
    ("text", "expected", "low", "high"),
    [
        ("3", "mΩ", None, 3),
        ("3.1", "mΩ", None, 3),
        ("0.2", "mΩ", None, 3),
        ("0", "mΩ", None, 3),
        ("70 ohm", "mΩ", None, 3),  # wrong in every unit: simply off
        ("19", "in-lb", 20, 25),
        ("30", "in-lb", 20, 25),
        ("22 N·m", "ft-lb", 20, 25),  # 1.36: cannot be told apart by the value
        ("2600", "psi", 2700, 3000),
        ("12", "min", 10, None),
        ("9:59", "min", 10, None),
    ],
)
def test_an_ordinary_value_right_or_wrong_is_not_questioned(text, expected, low, high):
    assert asked(text, expected, low, high) is None


def test_the_question_says_what_it_is_and_what_was_typed():
    question = questioned(read_quantity("3 ohm", "", expected="mΩ"), None, D(3))

    assert question.sentence.startswith("Is it 3 mΩ? 3 Ω")
    assert question.answer == "3 Ω"
    assert question.answer_field == "confirmed"
