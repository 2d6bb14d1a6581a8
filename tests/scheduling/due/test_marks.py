"""Marks of pages, and keys of due items: what a link may carry."""

from __future__ import annotations

import pytest

from fleet.house.refusals import Refused
from scheduling.due.lists.marks import key_of, mark_of
from scheduling.due.lists.stored import shape_of
from scheduling.facts.items import UNIT, item_id, subject_of


@pytest.mark.parametrize("sort", ["urgency", "due", "aircraft", "part", "work"])
def test_a_mark_names_the_place_it_was_made_of(sort):
    key = tuple("Q-AB" if isinstance(one, str) else 7 for one in shape_of(sort))

    assert key_of(mark_of(sort, key), sort, shape_of(sort)) == key


@pytest.mark.parametrize("mark", ["", "x", "!!!", "bnVsbA", "W10", "WzEsMl0", "é"])
def test_a_made_up_mark_is_refused(mark):
    with pytest.raises(Refused) as refused:
        key_of(mark, "urgency", shape_of("urgency"))

    assert refused.value.code == "page_mark_unreadable"


def test_a_mark_of_another_order_is_refused():
    with pytest.raises(Refused):
        key_of(mark_of("due", (1, 2)), "urgency", shape_of("urgency"))


def test_the_key_of_an_item_tells_its_subject_and_limit_and_fits_a_browsers_numbers():
    key = item_id(2**31 - 1, 2**20 - 1, UNIT)

    assert key < 2**53
    assert subject_of(key) == (2**31 - 1, 2**20 - 1, UNIT)
