"""What is there and what comes next, from an empty house on."""

from __future__ import annotations

import pytest
from django.urls import reverse

from fleet.models import Kind, Station
from scheduling.entries.records import RECORDS
from tests.builders import a_person, an_aircraft

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


def test_an_empty_house_is_told_what_comes_first(desk):
    page = desk.get(reverse("scheduling:setting_up")).content.decode()

    assert "Bring the spreadsheet you have" in page
    assert f'href="{reverse("fleet:load_own")}"' in page
    assert "No station is on record" in page
    assert "Fits are not entered" not in page  # there is no part yet to fit


@pytest.mark.parametrize(
    "address",
    [
        "/due/",
        "/allocation/",
        "/shortage/",
        "/float/",
        "/checks/",
        "/hours/",
        "/limits/",
        "/units/",
        "/aircraft/",
        "/tools/",
        "/swaps/",
        "/loads/",
    ],
)
def test_every_empty_list_points_to_what_comes_next(desk, address):
    page = desk.get(address, follow=True).content.decode()

    main = page[page.index("<main") :]
    assert f'href="{reverse("scheduling:setting_up")}"' in main


def test_an_aircraft_without_programme_reading_and_check_is_named(desk):
    aircraft = an_aircraft("D1L-SLIDE")

    page = desk.get(reverse("scheduling:setting_up")).content.decode()

    assert f"nothing falls due on them: {aircraft.registration}" in page
    assert "No station is on record" not in page


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.slug)
def test_the_example_of_each_sheet_can_be_typed_or_is_refused_at_a_field(desk, record):
    typed = {
        column.field: cell
        for column, cell in zip(record.kind.columns, record.kind.example[0], strict=False)
    }
    address = reverse(f"scheduling:enter_{record.slug.replace('-', '_')}")

    answer = desk.post(address, typed)

    assert answer.status_code in (200, 302, 422), answer.content.decode()[-500:]


def test_a_station_is_entered_changed_and_listed(desk):
    address = reverse("scheduling:enter_stations")
    desk.post(address, {"code": "qex1", "name": "Example Field", "time_zone": "Europe/Lisbon"})
    station = Station.objects.get()

    form = desk.get(address, {"of": station.pk}).content.decode()
    desk.post(address, {"code": "QEX1", "name": "Example Bay", "time_zone": "Europe/Lisbon"})

    assert station.code == "QEX1"
    assert 'value="Example Field"' in form
    assert Station.objects.get().name == "Example Bay"
    assert "Example Bay" in desk.get(address).content.decode()


def test_what_is_wrong_stands_at_its_field_and_what_was_typed_stays(desk):
    address = reverse("scheduling:enter_stations")

    answer = desk.post(address, {"code": "QEX1", "name": "Here", "time_zone": "Europe/Lisbonn"})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Did you mean &#x27;Europe/Lisbon&#x27;?" in page
    assert 'value="Here"' in page
    assert not Station.objects.exists()


def test_a_kind_is_not_entered_by_who_may_not(client):
    client.force_login(a_person("technician"), "django.contrib.auth.backends.ModelBackend")

    answer = client.post(reverse("scheduling:enter_kinds"), {"code": "SLIDE", "name": "Slide"})

    assert answer.status_code == 422
    assert "Your role does not allow this" in answer.content.decode()
    assert not Kind.objects.exists()


def test_the_page_of_an_aircraft_leads_to_what_is_entered_of_it(desk):
    aircraft = an_aircraft("D1L-SLIDE")

    page = desk.get(reverse("fleet:aircraft", args=[aircraft.registration])).content.decode()
    address = f"{reverse('scheduling:enter_status')}?aircraft={aircraft.registration}"

    assert address in page
    assert f'value="{aircraft.registration}"' in desk.get(address).content.decode()


def test_a_parked_aircraft_is_shown_with_what_that_moves_before_it_is_saved(desk):
    aircraft = an_aircraft("D1L-SLIDE")
    said = {"aircraft": aircraft.registration, "from_on": "2026-11-01", "status": "parked"}

    shown = desk.post(reverse("scheduling:enter_status"), said).content.decode()

    assert "No due date and no band moves." in shown
    aircraft.refresh_from_db()
    assert aircraft.status == "in_service"
