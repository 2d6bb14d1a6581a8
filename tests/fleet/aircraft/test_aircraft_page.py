"""One aircraft on any day, as the records said on any day."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests.builders import (
    a_person,
    a_station,
    a_unit,
    an_aircraft,
    at_position,
    in_store,
    installed,
    instant,
    removed,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(a_person("auditor"), "django.contrib.auth.backends.ModelBackend")
    return client


def page_of(desk, aircraft, **query):
    return desk.get(reverse("fleet:aircraft", args=[aircraft.registration]), query).content.decode()


@pytest.fixture
def changed():
    """A slide that was on for January 2026 and came off; the removal was recorded in June."""
    aircraft, slide = an_aircraft("D1L-SLIDE"), a_unit(serial_number="SLIDE1")
    installed(slide, at_position(aircraft), "2026-01-05", at=instant("2026-01-05 18:00"))
    removed(slide, in_store(a_station()), "2026-02-01", at=instant("2026-06-01 09:00"))
    return aircraft


def test_what_was_fitted_on_a_past_day_is_shown(desk, changed):
    assert "SLIDE1" in page_of(desk, changed, at="2026-01-20")
    assert "SLIDE1" not in page_of(desk, changed, at="2026-03-01")


def test_what_the_records_then_said_is_shown(desk, changed):
    page = page_of(desk, changed, at="2026-03-01", known_at="2026-04-01")

    assert "SLIDE1" in page
    assert "as the records said at the end of" in page


def test_an_empty_position_says_so_in_words_on_the_plan(desk, changed):
    page = page_of(desk, changed, at="2026-03-01")

    assert "D1L-SLIDE, D1L-SLIDE: nothing fitted" in page
    assert "#shape-not-fitted" in page


def test_a_wrong_day_is_told_and_today_is_shown(desk, changed):
    page = page_of(desk, changed, at="soon")

    assert "“soon” is not a date" in page
    assert "Today is shown." in page


def test_an_unknown_registration_is_a_page_that_says_so(desk):
    answer = desk.get(reverse("fleet:aircraft", args=["Q-NONE"]))

    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()


def test_the_list_of_aircraft_leads_to_each(desk, changed):
    page = desk.get(reverse("fleet:aircraft_list")).content.decode()

    assert f'href="/aircraft/{changed.registration}/"' in page
    assert "nothing before a later check" in page
