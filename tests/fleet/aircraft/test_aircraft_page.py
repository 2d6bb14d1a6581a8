"""One aircraft on any day, as the records said on any day."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from fleet.house.pages import today
from fleet.models import AircraftStatus, Check
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.models import Programme, ProgrammeOfAircraft
from tests.builders import (
    a_person,
    a_station,
    a_unit,
    an_aircraft,
    at_position,
    day,
    in_store,
    installed,
    instant,
    removed,
    the_hours,
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


# --- as the records said ----------------------------------------------------------------------------


def test_what_was_recorded_later_is_left_out_of_what_the_records_said(desk, changed):
    """Hours, a programme and a status of January, all recorded in June; a check planned at any time."""
    hours, by, june = the_hours(), a_person("controller"), instant("2026-06-01 09:00")
    row = NewReading(changed.pk, hours.pk, instant("2026-01-10 12:00"), 600_060, uuid4())
    record_readings(by=by, rows=[row], now=june)
    programme = Programme.objects.create(code="LATE", name="Late programme", revision="1")
    since = {"aircraft": changed, "from_on": day("2026-01-01"), "recorded_at": june}
    ProgrammeOfAircraft.objects.create(programme=programme, **since)
    AircraftStatus.objects.create(status="parked", **since)
    Check.objects.create(
        aircraft=changed,
        name="C-CHECK",
        starts_on=day("2026-05-01"),
        ends_on=day("2026-05-02"),
        station=changed.station,
    )

    now = page_of(desk, changed, at="2026-03-01")
    then = page_of(desk, changed, at="2026-03-01", known_at="2026-04-01")

    for said in ("10\u202f001:00", "Late programme", "parked", "C-CHECK"):
        assert said in now
        assert said not in then
    assert "What falls due, and the checks planned, are left out" in then


def test_a_reading_that_was_corrected_later_is_what_the_records_said(desk, changed):
    hours, by = the_hours(), a_person("controller")
    at = instant("2026-01-10 12:00")
    first = NewReading(changed.pk, hours.pk, at, 6_000, uuid4())
    [made] = record_readings(by=by, rows=[first], now=instant("2026-01-11 09:00"))
    other = NewReading(changed.pk, hours.pk, at, 12_000, uuid4(), corrects_id=made.pk)
    record_readings(by=by, rows=[other], now=instant("2026-06-01 09:00"))

    then = page_of(desk, changed, at="2026-03-01", known_at="2026-04-01")

    assert "100:00" in then
    assert "200:00" not in then


def test_a_position_that_nothing_is_recorded_of_is_not_said_to_be_empty(desk, changed):
    page = page_of(desk, changed, at="2025-12-01")

    assert "nothing recorded" in page
    assert "D1L-SLIDE, D1L-SLIDE: nothing is recorded" in page
    assert "not fitted" not in page


def test_what_was_not_recorded_yet_is_not_said_to_be_empty(desk, changed):
    page = page_of(desk, changed, at="2026-01-20", known_at="2026-01-04")

    assert "nothing recorded" in page
    assert "not fitted" not in page


def test_a_position_that_a_unit_was_removed_from_is_not_fitted(desk, changed):
    page = page_of(desk, changed, at="2026-03-01")

    assert "not fitted" in page
    assert "nothing recorded" not in page


@pytest.mark.parametrize("zone", ["America/Anchorage", "UTC", "Pacific/Auckland"])
def test_a_reading_is_of_the_day_that_it_was_where_the_aircraft_is_based(desk, zone):
    aircraft, hours = an_aircraft("D1L-SLIDE", station=a_station(zone=zone)), the_hours()
    for on, total in ((9, 600), (10, 608)):
        ends = datetime(2026, 1, on, 23, 59, 59, tzinfo=ZoneInfo(zone))
        row = NewReading(aircraft.pk, hours.pk, ends, total * 60, uuid4())
        record_readings(by=a_person("controller"), rows=[row], now=instant("2026-02-01 09:00"))

    page = page_of(desk, aircraft, at="2026-01-10")

    assert "608:00 h" in page
    assert "read 10 Jan 2026" in page


def test_the_next_check_is_the_one_that_is_not_over(desk):
    aircraft = an_aircraft("D1L-SLIDE")
    for name, begins, ends in (("A1", -2, 3), ("A2", 40, 44)):
        Check.objects.create(
            aircraft=aircraft,
            name=name,
            starts_on=today() + timedelta(days=begins),
            ends_on=today() + timedelta(days=ends),
            station=aircraft.station,
        )

    page = desk.get(reverse("fleet:aircraft_list")).content.decode()

    assert "A1" in page
    assert "A2" not in page
