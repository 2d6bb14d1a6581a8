"""Hours of the fleet in one grid: typed or pasted, asked about, shown with what they move, saved."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from fleet.house.pages import end_of, today
from fleet.models import Measure, UtilisationReading
from fleet.utilisation.acts.readings import NewReading, record_readings
from tests import builders as build
from tests.scheduling.rules import Runs, a_rule, follows

pytestmark = pytest.mark.django_db
HOUR = 60


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def hours():
    return Measure.objects.create(
        code="FH", name="flight hours", unit="minutes", counted_on="aircraft"
    )


@pytest.fixture
def cycles():
    return Measure.objects.create(
        code="FC", name="flight cycles", unit="count", counted_on="aircraft"
    )


@pytest.fixture
def aircraft(hours, cycles):
    """One with two readings: ten hours a day over the last hundred days, 20 000 h ten days ago."""
    made = follows(build.an_aircraft("D1L-SLIDE"))
    for days, total in ((110, 19_000), (10, 20_000)):
        row = NewReading(
            made.pk,
            hours.pk,
            end_of(today() - timedelta(days=days)),
            total * HOUR,
            act_id=uuid4(),
        )
        record_readings(by=build.a_person("controller"), rows=[row], now=end_of(today()))
    return made


def send(desk, said):
    return desk.post(reverse("scheduling:hours"), {"read_on": today().isoformat(), **said})


def mark_of(page: str) -> str:
    found = re.search(r'name="shown" value="([0-9a-f]+)"', page)
    assert found, page[page.find("<main") :]
    return found[1]


def test_hours_are_saved_after_what_they_move_was_shown(desk, aircraft, hours):
    unit = build.a_unit(serial_number="S1")
    build.installed(unit, build.at_position(aircraft), "2020-01-05")
    a_rule(
        "SL-FH",
        Runs("FH", [(30_000 * HOUR, "any")], {"counts_from": "first_installation"}),
        work="OVERHAUL",
    )
    said = {f"hours_{aircraft.pk}": "20100:30", "source": "Log 4711"}

    shown = send(desk, said).content.decode()
    answer = send(desk, said | {"shown": mark_of(shown), "save": "1"})

    assert "What it changes" in shown
    assert answer.status_code == 302
    last = UtilisationReading.objects.order_by("read_at").last()
    assert (last.total, last.source, last.is_date_only) == (20_100 * HOUR + 30, "Log 4711", True)


def test_99_999_hours_are_asked_about_and_taken_once_they_are_said_to_be_right(desk, aircraft):
    said = {f"hours_{aircraft.pk}": "99999"}

    asked = send(desk, said)
    page = asked.content.decode()
    sure = said | {f"sure_{aircraft.pk}": "99999"}
    shown = send(desk, sure).content.decode()

    assert asked.status_code == 422
    assert "No day has so many hours" in page and "It is right as typed" in page
    assert 'value="99999"' in page
    other = send(
        desk, sure | {f"hours_{aircraft.pk}": "88888", "shown": mark_of(shown), "save": "1"}
    )
    assert other.status_code == 422 and "No day has so many hours" in other.content.decode()
    # what the page of the preview sends: the tick is still there
    tick = re.search(r'name="sure_\d+" value="([^"]*)" checked', shown)
    assert tick and tick[1].strip() == "99999"
    assert send(desk, sure | {"shown": mark_of(shown), "save": "1"}).status_code == 302


def test_what_cannot_be_read_is_said_beside_a_question_of_another_line(desk, aircraft):
    other = build.an_aircraft()
    said = {f"hours_{aircraft.pk}": "99999", f"hours_{other.pk}": "banana"}

    page = send(desk, said).content.decode()

    assert "No day has so many hours" in page
    assert "&#x27;banana&#x27;" in page.split(f'id="said_{other.pk}"')[1].split("</td>")[0]


def test_rows_pasted_from_a_spreadsheet_fill_the_grid_and_say_what_was_not_read(desk, aircraft):
    pasted = (
        f"Reg\tTTSN\tTCSN\n{aircraft.registration.replace('-', '')}\t20100:30\t9000\nTOTAL\t1\t2"
    )

    page = send(desk, {"pasted": pasted, "fill": "1"}).content.decode()

    assert 'value="20100:30"' in page and 'value="9000"' in page
    assert page.count("Not read, as it names no aircraft on record") == 2
    assert UtilisationReading.objects.count() == 2


def test_what_cannot_be_read_is_refused_at_its_aircraft_and_nothing_is_kept(desk, aircraft):
    other = build.an_aircraft("D1L-SLIDE")
    said = {f"hours_{aircraft.pk}": "20100:30", f"hours_{other.pk}": "many"}

    answer = send(desk, said)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "many" in page[page.find(f'id="said_{other.pk}"') :]
    assert UtilisationReading.objects.count() == 2


def test_a_total_of_the_same_day_is_corrected_by_a_later_fact(desk, aircraft):
    on = (today() - timedelta(days=10)).isoformat()
    said = {"read_on": on, f"hours_{aircraft.pk}": "20001"}

    refused = send(desk, said)
    shown = send(desk, said | {f"correction_{aircraft.pk}": "on"}).content.decode()
    send(desk, said | {f"correction_{aircraft.pk}": "on", "shown": mark_of(shown), "save": "1"})

    assert refused.status_code == 422
    corrected = UtilisationReading.objects.get(corrects__isnull=False)
    assert (corrected.total, corrected.corrects.total) == (20_001 * HOUR, 20_000 * HOUR)


def test_who_may_not_is_told_who_does(client, aircraft):
    client.force_login(build.a_person("stores"), "django.contrib.auth.backends.ModelBackend")

    answer = send(client, {f"hours_{aircraft.pk}": "20100"})

    assert "Your role does not allow this" in answer.content.decode()
    assert UtilisationReading.objects.count() == 2


def test_a_reading_is_corrected_on_its_own_page_and_the_wrong_one_stays(desk, aircraft):
    wrong = UtilisationReading.objects.order_by("read_at").last()
    address = reverse("scheduling:reading_correct", args=[wrong.pk])
    said = {"total": "19999:30", "source": "Log 4712"}

    shown = desk.post(address, said).content.decode()
    desk.post(address, said | {"shown": mark_of(shown), "save": "1"})
    page = desk.get(reverse("scheduling:readings", args=[aircraft.registration])).content.decode()

    right = UtilisationReading.objects.get(corrects=wrong)
    assert (right.total, right.read_at) == (19_999 * HOUR + 30, wrong.read_at)
    assert "corrected" in page and "struck" in page


def test_a_total_that_cannot_be_read_is_refused_at_its_field(desk, aircraft):
    wrong = UtilisationReading.objects.order_by("read_at").last()

    answer = desk.post(reverse("scheduling:reading_correct", args=[wrong.pk]), {"total": "many"})

    assert answer.status_code == 422
    assert 'id="id_total_error"' in answer.content.decode()
