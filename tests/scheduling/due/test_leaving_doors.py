"""An aircraft's leaving is recorded, and taken back, by page, program and sheet alike; with a job open it does not leave."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse
from rest_framework.test import APIClient

from fleet.aircraft.sheets.standing import STATUSES
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import AircraftStatus
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.scheduling.rules import DAY

pytestmark = pytest.mark.django_db
SOON = today() + timedelta(days=200)


@pytest.fixture
def aircraft():
    return build.an_aircraft("D1L-SLIDE")


@pytest.fixture
def by_api(program) -> APIClient:  # noqa: F811
    return program("controller")


def said(status="left", on=SOON, **more):
    return {"act_id": str(uuid4()), "status": status, "from_on": on.isoformat(), **more}


def sent(by_api, aircraft, **more):
    address = f"/api/v1/aircraft/{aircraft.registration}/statuses"
    return by_api.post(address, said(**more), format="json")


def brought(aircraft, status="left", on=SOON, **more):
    line = {"aircraft": aircraft.registration, "from_on": on, "status": status, **more}
    by = build.a_person("controller")
    return enter_lines(by=by, lines=[SheetLine(STATUSES, line)], at=build.NOW, today=DAY)


def standing(aircraft):
    rows = AircraftStatus.objects.filter(aircraft=aircraft, replaced_by=None).order_by("from_on")
    return [row.status for row in rows]


def test_a_program_records_that_it_leaves_and_takes_it_back(by_api, aircraft):
    first = sent(by_api, aircraft, document="Return of lease 14")
    again = sent(by_api, aircraft, status="in_service")
    back = sent(by_api, aircraft, status="in_service", replaces=True)

    assert (first.status_code, back.status_code) == (201, 201)
    assert (again.status_code, again.json()["code"]) == (422, "status_on_record")
    assert back.json()["replaces"] == first.json()["id"]
    assert standing(aircraft) == ["in_service"]


def test_a_sheet_s_line_takes_it_back_and_both_lines_are_known_ever_after(aircraft):
    assert brought(aircraft) == ["accepted"]
    with pytest.raises(Refused, match="on record already"):
        brought(aircraft, status="in_service")

    assert brought(aircraft, status="in_service", replaces=True) == ["accepted"]

    assert standing(aircraft) == ["in_service"]
    assert brought(aircraft) == ["known"]
    assert brought(aircraft, status="in_service", replaces=True) == ["known"]
    assert standing(aircraft) == ["in_service"]


def test_a_page_shows_what_it_moves_and_records_it(client, aircraft):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    address = reverse("scheduling:enter_status")
    typed = {"aircraft": aircraft.registration, "from_on": SOON.isoformat(), "status": "left"}

    shown = client.post(address, typed).content.decode()
    assert standing(aircraft) == []
    mark = re.search(r'name="shown" value="([0-9a-f]+)"', shown)
    client.post(address, typed | {"shown": mark[1], "save": "1"})

    assert standing(aircraft) == ["left"]
    page = client.get(reverse("fleet:aircraft", args=[aircraft.registration])).content.decode()
    assert "Leaves the fleet on" in page


def test_with_a_swap_open_it_has_not_left_by_any_door(by_api):
    aircraft = swaps.a_job().open().aircraft

    with time_machine.travel(build.NOW.replace(hour=20)):
        by_program = sent(by_api, aircraft, on=today())
    with pytest.raises(Refused) as by_sheet:
        brought(aircraft, on=DAY)

    assert by_program.json()["code"] == "aircraft_cannot_leave"
    assert by_sheet.value.code == "aircraft_cannot_leave"
    assert "A swap is open at" in by_sheet.value.message
    assert standing(aircraft) == []
    # It can be ended until then.
    assert sent(by_api, aircraft).status_code == 201


def test_what_is_done_on_one_that_has_left_is_questioned(aircraft):
    unit = build.a_unit()
    brought(aircraft, on=DAY - timedelta(days=10))

    done = build.installed(unit, build.at_position(aircraft), "2027-05-30")

    assert [each.code for each in done.reasons] == ["aircraft_left"]
    earlier = build.installed(build.a_unit(), build.at_position(aircraft), "2027-05-01")
    assert earlier.reasons == ()


def test_no_swap_is_opened_and_no_check_planned_on_one_that_has_left(by_api):
    job = swaps.a_job()
    aircraft = job.aircraft
    brought(aircraft, on=DAY - timedelta(days=10))

    with pytest.raises(Refused) as refused:
        job.open()
    planned = by_api.post(
        f"/api/v1/aircraft/{aircraft.registration}/checks",
        {
            "name": "C1",
            "starts_on": "2030-01-05",
            "ends_on": "2030-01-06",
            "station": aircraft.station.code,
        },
        format="json",
    )

    assert refused.value.code == "aircraft_left"
    assert (planned.status_code, planned.json()["code"]) == (422, "aircraft_left")
