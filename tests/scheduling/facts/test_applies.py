"""Serial numbers and MSNs in ranges, as directives list them."""

from __future__ import annotations

import pytest

from scheduling.facts.applies import within


@pytest.mark.parametrize(
    ("text", "is_in"),
    [
        ("A100", True),
        ("A250", True),
        ("a 100", False),
        ("a100 ", True),
        ("A99", False),
        ("A251", False),
        ("B150", False),
        ("A0150", True),
        ("150", False),
        ("", False),
    ],
)
def test_a_range_takes_its_ends_and_what_is_between_of_the_same_letters(text, is_in):
    assert within(text, [("A100", "A250")]) is is_in


def test_a_single_number_is_itself_alone():
    assert within("K-7", [("K-7", "K-7")])
    assert not within("K-70", [("K-7", "K-7")])


def test_any_of_several_ranges_will_do():
    assert within("C5", [("A1", "A9"), ("C1", "C9")])
