"""Each desk has its own ways and begins at its own page; nobody is offered what nobody of that desk does."""

from __future__ import annotations

import pytest
from django.urls import reverse

from fleet.house.desks import ROLES
from fleet.screens.ways import DESKS, ways_of

BEGINS = {
    "controller": "Today",
    "stores": "Today",
    "technician": "My work",
    "inspector": "My work",
    "certifying": "My work",
    "auditor": "Due",
    "administrator": "Moving in",
}


@pytest.mark.parametrize("role", [role for role, _ in ROLES])
def test_each_role_begins_at_its_own_page_and_each_of_its_ways_leads_somewhere(role):
    found = ways_of([role])

    assert found[0].label == BEGINS[role]
    assert all(reverse(way.page).startswith("/") for way in found)


def test_no_desk_has_more_ways_than_one_takes_in_at_a_glance():
    assert max(len(ways) for ways in DESKS.values()) <= 8


def test_who_has_two_desks_has_the_ways_of_both_and_no_two_of_one_name():
    found = ways_of(["stores", "controller", "technician"])

    labels = [way.label for way in found]
    assert len(labels) == len(set(labels))
    assert {"Today", "Stores", "My work", "Receive"} <= set(labels)
    assert len({way.page for way in found}) == len(found)


def test_the_order_of_the_roles_is_the_order_of_the_desks_however_they_were_given():
    assert ways_of(["technician", "controller"]) == ways_of(["controller", "technician"])


def test_where_one_is_is_marked_for_the_pages_within_too():
    due = next(way for way in ways_of(["controller"]) if way.label == "Due")

    assert due.is_of("scheduling:due_list")
    assert due.is_of("scheduling:due_item")
    assert not due.is_of("scheduling:today")


def test_the_technician_has_four_ways_under_the_thumb():
    assert [way.label for way in ways_of(["technician"])] == ["My work", "Scan", "Aircraft", "Find"]
