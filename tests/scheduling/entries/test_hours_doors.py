"""Hours that no day has, and totals that run backwards: one rule, said at the grid, the sheet and the program's door."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from rest_framework.test import APIClient

from fleet.house.pages import end_of, today
from fleet.house.refusals import Refused
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import Measure, UtilisationReading
from fleet.utilisation.acts.readings import NewReading, record_readings
from fleet.utilisation.sheets.readings import READINGS
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

pytestmark = pytest.mark.django_db
HOUR = 60
#: Four hours a day; 20 000 h ten days ago. 3 x 4 x (10 + 2) = 144 h may well be.
MAY_WELL, TOO_MANY, BACKWARDS = 20_000 + 144, 20_000 + 145, 19_999


@pytest.fixture
def aircraft():
    hours = Measure.objects.create(
        code="FH", name="flight hours", unit="minutes", counted_on="aircraft"
    )
    made = build.an_aircraft()
    for days, total in ((110, 19_600), (10, 20_000)):
        at = end_of(today() - timedelta(days=days))
        row = NewReading(made.pk, hours.pk, at, total * HOUR, act_id=uuid4())
        record_readings(by=build.a_person("controller"), rows=[row], now=end_of(today()))
    return made


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def by_api(program) -> APIClient:  # noqa: F811
    return program("controller")


def on_the_grid(desk, aircraft, total, **more):
    said = {"read_on": today().isoformat(), f"hours_{aircraft.pk}": str(total), **more}
    return desk.post(reverse("scheduling:hours"), said)


def on_the_sheet(aircraft, total):
    line = {"aircraft": aircraft.registration, "read_on": today(), "hours": str(total)}
    warned = []
    enter_lines(
        by=build.a_person("controller"),
        lines=[SheetLine(READINGS, line)],
        at=end_of(today()),
        today=today(),
        warned=warned,
    )
    return warned


def by_program(by_api, aircraft, total):
    body = {
        "act_id": str(uuid4()),
        "measure": "FH",
        "read_on": today().isoformat(),
        "total": total * HOUR,
    }
    address = f"/api/v1/aircraft/{aircraft.registration}/readings"
    return by_api.post(address, body, format="json")


def test_what_may_well_be_is_asked_by_none(desk, by_api, aircraft):
    assert "What it changes" in on_the_grid(desk, aircraft, MAY_WELL).content.decode()
    assert by_program(by_api, aircraft, MAY_WELL).status_code == 201


def test_what_is_far_beyond_the_usual_is_asked_by_each_in_the_same_words(desk, by_api, aircraft):
    grid = on_the_grid(desk, aircraft, TOO_MANY)
    program_s = by_program(by_api, aircraft, TOO_MANY)
    with pytest.raises(Refused) as sheet_s:
        on_the_sheet(aircraft, TOO_MANY)

    words = program_s.json()["detail"]
    assert (grid.status_code, program_s.status_code) == (422, 422)
    assert program_s.json()["code"] == sheet_s.value.code == "total_questioned"
    assert "It usually makes 4:00 h a day." in words
    assert words in sheet_s.value.message
    assert words in grid.content.decode()
    assert UtilisationReading.objects.count() == 2


def test_a_total_that_runs_backwards_is_said_by_each(desk, by_api, aircraft):
    grid = on_the_grid(desk, aircraft, BACKWARDS)
    [warned] = on_the_sheet(aircraft, BACKWARDS)

    asked = grid.content.decode()
    assert grid.status_code == 422
    assert "It is less than the" in asked and "counted by nobody" in asked
    assert "What it changes" not in asked
    assert warned.code == "total_runs_backwards"
    told = by_program(by_api, aircraft, BACKWARDS - 1).json()
    assert told["is_conforming"] is False
    assert told["reasons"][0].startswith("It is less than the")


def test_the_grid_keeps_one_that_runs_backwards_once_it_is_said_to_be_as_read(desk, aircraft):
    sure = {f"sure_{aircraft.pk}": str(BACKWARDS)}
    shown = on_the_grid(desk, aircraft, BACKWARDS, **sure).content.decode()
    mark = shown.split('name="shown" value="')[1].split('"')[0]

    unsure = on_the_grid(desk, aircraft, BACKWARDS, shown=mark, save="1")
    assert unsure.status_code == 422
    assert UtilisationReading.objects.count() == 2
    saved = on_the_grid(desk, aircraft, BACKWARDS, shown=mark, save="1", **sure)

    assert saved.status_code == 302
    assert UtilisationReading.objects.filter(is_conforming=False).count() == 1


@pytest.mark.parametrize("zone", ["America/Los_Angeles", "UTC", "Pacific/Auckland"])
def test_a_day_typed_is_that_day_by_each_wherever_the_aircraft_is_based(
    desk, by_api, aircraft, zone
):
    aircraft.station.time_zone = zone
    aircraft.station.save()
    on = (today() - timedelta(days=3)).isoformat()
    body = {"act_id": str(uuid4()), "measure": "FH", "read_on": on, "total": 20_010 * HOUR}
    address = f"/api/v1/aircraft/{aircraft.registration}/readings"
    sent = by_api.post(address, body, format="json").json()
    line = {"aircraft": aircraft.registration, "read_on": on, "hours": "20010"}
    brought = enter_lines(
        by=build.a_person("controller"),
        lines=[SheetLine(READINGS, line)],
        at=end_of(today()),
        today=today(),
    )
    page = desk.get(reverse("scheduling:readings", args=[aircraft.registration])).content.decode()

    assert brought == ["known"], "by program and by sheet it is one reading"
    assert sent["is_date_only"] is True
    day = f"{today() - timedelta(days=3):%-d %b %Y}"
    assert f'class="nowrap">{day}</td>' in page.replace("\u00a0", " ")
