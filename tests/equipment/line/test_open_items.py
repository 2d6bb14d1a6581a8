"""Open items fall due like any other: on the due list's page, with the days that are left."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import OpenItem
from equipment.swaps.open_items import open_rows
from fleet.pages import today
from tests.builders import NOW, a_person, an_aircraft
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def item(db):
    """``item(days)`` is an open item with so many days left."""
    aircraft, by = an_aircraft(), a_person()

    def make(days):
        return OpenItem.objects.create(
            act_id=uuid4(), aircraft=aircraft, document="MEL 25-62-01 rev 12", words=f"Vest {days}",
            found_on=today() - timedelta(days=60), expires_on=today() + timedelta(days=days),
            recorded_at=NOW, recorded_by=by,
        )  # fmt: skip

    return make


def due_list():
    return signed_in(a_person("controller")).get(reverse("scheduling:due_list")).content.decode()


@pytest.mark.parametrize(
    ("days", "words", "is_over"),
    [(12, "12 days left", False), (1, "1 day left", False), (0, "last day", False), (-1, "1 day over", True)],
)  # fmt: skip
def test_an_item_says_what_is_left_of_it(item, days, words, is_over):
    item(days)

    [row], more = open_rows(today())

    assert (row.left_words, row.is_over, more) == (words, is_over, 0)


def test_the_due_list_has_a_block_of_open_items_the_first_to_expire_on_top(item):
    item(9), item(-2)

    page = due_list()

    assert page.index("2 days over") < page.index("9 days left") < page.index('id="due-list"')


def test_without_open_items_there_is_no_block(db):
    page = due_list()

    assert 'id="due-list"' in page
    assert "open-items-due-title" not in page


def test_many_items_are_read_by_a_fixed_number_of_queries(item, django_assert_max_num_queries):
    for days in range(60):
        item(days)

    with django_assert_max_num_queries(2):
        rows, more = open_rows(today())

    assert (len(rows), more) == (50, 10)
