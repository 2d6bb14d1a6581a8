"""Two days of the list beside each other: new, gone, moved, and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import OpenItem
from fleet.house.pages import today
from fleet.house.refusals import Refused
from scheduling.due import compared as comparing
from scheduling.due.compared import compared, why_moved
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import DueRow
from tests import builders as build
from tests.builders import NOW, a_person, an_aircraft
from tests.equipment.line_world import signed_in
from tests.scheduling.rules import DAY, a_rule, every, follows

COMPARE = reverse("scheduling:due_compare")
WAS = DueRow(
    1,
    "later-check",
    "Overhaul",
    "OH-1",
    registration="Q7-VAA",
    position="D1L",
    start_on=date(2024, 3, 3),
    due_on=date(2027, 3, 3),
    decided_by="months",
    check_name="A24",
    check_starts_on=date(2027, 1, 20),
)


def differing(**changes):
    return replace(WAS, **changes)


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({}, ""),
        ({"left_days": 3}, ""),
        (
            {"start_on": date(2026, 11, 20), "due_on": date(2029, 11, 20)},
            "work recorded: counted from 20 Nov 2026",
        ),
        ({"position": "D1R"}, "moved from Q7-VAA D1L to Q7-VAA D1R"),
        ({"registration": "", "position": "", "station": "QVMR"}, "moved from Q7-VAA D1L to QVMR"),
        ({"until_on": date(2027, 4, 3)}, "extension recorded"),
        ({"due_on": date(2027, 2, 3)}, "its limit changed"),
        ({"due_on": date(2027, 2, 3), "is_projected": True}, "the aircraft's use"),
        (
            {"due_on": date(2027, 2, 3), "decided_by": "flight hours"},
            "now by flight hours, before by months",
        ),
        ({"due_on": None, "worst_on": None, "missing": ("a date",)}, "facts missing since"),
        ({"band": "next-check"}, "at later check before: days passed"),
        (
            {"band": "next-check", "check_starts_on": date(2027, 2, 1)},
            "the plan of checks changed: A24 on 20 Jan 2027, now A24 on 1 Feb 2027",
        ),
    ],
)
def test_what_moved_says_why(changes, why):
    assert why_moved(WAS, differing(**changes), date(2027, 1, 10)) == why


@pytest.fixture
def slide():
    """A slide on an aircraft, made two years before its overhaul is due."""
    kind = build.a_kind("SLIDE")
    unit = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2024-12-15"))
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("D1L-SLIDE", kind=kind)))
    build.installed(unit, build.at_position(aircraft), "2025-02-10")
    a_rule("OH-1", every(36, first_from="manufacture"))
    unit.refresh_from_db()
    return unit


def test_a_check_that_has_passed_is_no_change_of_the_plan():
    row = differing(band="overdue", check_name="", check_starts_on=None)

    assert why_moved(WAS, row, date(2027, 1, 25)) == "A24 on 20 Jan 2027 has passed, now no check"


@pytest.mark.django_db
def test_a_unit_that_was_fitted_between_the_days_is_new_and_all_else_stands(slide):
    fitted = date(2025, 2, 10)

    found = compared(
        filters=DueFilters(aircraft=slide.aircraft.registration),
        as_of=fitted + timedelta(days=1),
        beside=fitted - timedelta(days=1),
    )

    assert [(each.row.work, each.why) for each in found.new] == [
        (found.new[0].row.work, "the unit came to these lists")
    ]
    assert (found.gone, found.moved, found.same) == ([], [], 0)
    again = compared(filters=DueFilters(), as_of=DAY, beside=DAY)
    assert (again.new, again.gone, again.moved) == ([], [], [])
    assert again.same == 1


@pytest.mark.django_db
def test_which_day_is_given_first_does_not_matter(slide):
    days = date(2025, 2, 9), date(2025, 2, 11)
    asked = DueFilters(aircraft=slide.aircraft.registration)

    one = compared(filters=asked, as_of=days[0], beside=days[1])
    other = compared(filters=asked, as_of=days[1], beside=days[0])

    assert one == other
    assert len(one.new) == 1


@pytest.mark.django_db
def test_too_many_are_not_compared_and_the_page_says_what_would_do(slide, monkeypatch):
    monkeypatch.setattr(comparing, "MOST_COMPARED", 0)

    with pytest.raises(Refused, match="Narrow the list first"):
        compared(filters=DueFilters(), as_of=DAY, beside=DAY)
    page = signed_in(a_person("controller")).get(COMPARE, {"as_of": "2027-06-01"})
    assert page.status_code == 422
    assert "Narrow the list first" in page.content.decode()


@pytest.mark.django_db
def test_the_page_shows_what_was_opened_since(db):
    aircraft, by = an_aircraft(), a_person()
    OpenItem.objects.create(
        act_id=uuid4(),
        aircraft=aircraft,
        document="MEL 25-62-01 rev 12",
        words="Vest",
        found_on=today() - timedelta(days=2),
        expires_on=today() + timedelta(days=9),
        recorded_at=NOW,
        recorded_by=by,
    )
    desk = signed_in(a_person("controller"))

    page = desk.get(COMPARE, {"beside": f"{today() - timedelta(days=7):%Y-%m-%d}"}).content.decode()

    assert "New: 1" in page and "opened since" in page
    assert "Gone: 0" in page and "Moved: 0" in page


@pytest.mark.django_db
@pytest.mark.parametrize("wrong", ["3/4/27", "soon", "1890-01-01"])
def test_a_day_that_is_none_is_said_at_its_field(wrong):
    page = signed_in(a_person("controller")).get(COMPARE, {"beside": wrong})

    assert page.status_code == 422
    assert 'id="id_beside_error"' in page.content.decode()
