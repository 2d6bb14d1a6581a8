from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import Maker, Movement, PartNumber, Place, Unit
from fleet.models import Aircraft, AircraftPosition, Check, TypePosition, UtilisationReading

AT = datetime(2027, 3, 3, 12, 0, tzinfo=UTC)
# Session-free token look-up, then the list itself; never one per row.
CEILING = 4


@pytest.fixture
def fleet_of_five(tern, station):
    return [
        Aircraft.objects.create(
            registration=f"Q-AV{letter}", msn=f"10{letter}", aircraft_type=tern, station=station
        )
        for letter in "EDCBA"
    ]


@pytest.fixture
def ventured(fleet_of_five, hours):
    """An aircraft with five readings on five days, five checks and one position."""
    aircraft = fleet_of_five[0]
    for day in range(5):
        UtilisationReading.objects.create(
            aircraft=aircraft,
            measure=hours,
            read_at=AT + timedelta(days=day),
            total=600 * day,
            act_id=uuid.uuid4(),
            recorded_at=AT,
        )
        Check.objects.create(
            aircraft=aircraft,
            name=f"A{day}",
            starts_on=date(2027, 4, 1) + timedelta(days=30 * day),
            ends_on=date(2027, 4, 2) + timedelta(days=30 * day),
            station=aircraft.station,
        )
    return aircraft


@pytest.fixture
def slides_in_store(slide_kind, station):
    """Five slides that were received into the store of LYD."""
    maker = Maker.objects.create(code="HS01", name="Harbour Slides")
    part = PartNumber.objects.create(
        maker=maker, number="HS-4410-1", description="Slide", kind=slide_kind
    )
    store = Place.objects.create(sort=Place.STORE, station=station)
    units = []
    for number in range(5):
        unit = Unit.objects.create(
            original_part=part,
            part_number=part,
            serial_number=f"A{number}",
            recorded_at=AT,
            place=store,
        )
        Movement.objects.create(
            unit=unit,
            sort="received",
            to_place=store,
            happened_at=AT,
            act_id=uuid.uuid4(),
            recorded_at=AT,
        )
        units.append(unit)
    return units


def pages_of(client, address):
    """All rows of a list, followed page by page."""
    rows, count = [], 0
    while address:
        answer = client.get(address)
        assert answer.status_code == 200, answer.content
        rows += answer.json()["results"]
        address, count = answer.json()["next"], count + 1
    return rows, count


def test_aircraft_are_listed_by_registration(controller, fleet_of_five):
    rows = controller.get("/api/v1/aircraft").json()["results"]

    assert [row["registration"] for row in rows] == ["Q-AVA", "Q-AVB", "Q-AVC", "Q-AVD", "Q-AVE"]
    assert rows[0] == {
        "registration": "Q-AVA",
        "msn": "10A",
        "aircraft_type": "TERN-200",
        "status": "in_service",
        "station": "LYD",
        "manufactured_on": None,
        "is_grounded": False,
        "grounded_by": [],
    }


def test_an_aircraft_shows_its_positions(controller, ventured, slide_kind):
    layout = TypePosition.objects.create(
        aircraft_type=ventured.aircraft_type,
        code="D1L-SLIDE",
        name="Door 1 left slide",
        kind=slide_kind,
        side="left",
        x_cm=400,
        y_cm=-180,
    )
    AircraftPosition.objects.create(aircraft=ventured, type_position=layout)

    shown = controller.get("/api/v1/aircraft/q-ave").json()

    assert shown["registration"] == "Q-AVE"
    assert [position["code"] for position in shown["positions"]] == ["D1L-SLIDE"]


@pytest.mark.parametrize(
    "address",
    ["/api/v1/aircraft", "/api/v1/aircraft/Q-AVE/readings", "/api/v1/aircraft/Q-AVE/checks"],
)
def test_pages_follow_each_other_without_gap_or_repetition(controller, ventured, address):
    whole, _ = pages_of(controller, address)

    rows, count = pages_of(controller, f"{address}?limit=2")

    assert rows == whole
    assert (len(rows), count) == (5, 3)


def test_a_row_that_comes_in_between_shifts_no_page(controller, fleet_of_five, tern, station):
    first = controller.get("/api/v1/aircraft?limit=3").json()
    Aircraft.objects.create(registration="Q-AAA", msn="1", aircraft_type=tern, station=station)

    second = controller.get(first["next"]).json()

    assert [row["registration"] for row in second["results"]] == ["Q-AVD", "Q-AVE"]


@pytest.mark.parametrize(
    "address",
    [
        "/api/v1/aircraft",
        "/api/v1/aircraft/Q-AVE/readings",
        "/api/v1/aircraft/Q-AVE/checks",
        "/api/v1/units",
    ],
)
def test_a_list_asks_as_often_for_many_rows_as_for_one(
    controller, ventured, slides_in_store, address
):
    asked = []
    for limit in (1, 5):
        with CaptureQueriesContext(
            connection,
        ) as queries:
            controller.get(f"{address}?limit={limit}")
        asked.append(len(queries))

    # What grounds aircraft is reckoned where, as here, no list is stored of the day.
    ceiling = CEILING + 20 if address == "/api/v1/aircraft" else CEILING
    assert asked[0] == asked[1] <= ceiling


def test_a_unit_says_what_and_where_it_is(controller, slides_in_store):
    shown = controller.get("/api/v1/units?serial_number=a3&station=LYD").json()["results"]

    assert [unit["serial_number"] for unit in shown] == ["A3"]
    assert shown[0]["place"] == {
        "sort": "store",
        "aircraft": None,
        "position": None,
        "inside_unit": None,
        "station": "LYD",
        "name": "",
    }


def test_a_unit_shows_its_history_and_papers(controller, slides_in_store):
    unit = slides_in_store[0].pk

    history = controller.get(f"/api/v1/units/{unit}/movements").json()["results"]
    papers = controller.get(f"/api/v1/units/{unit}/papers").json()

    assert [movement["sort"] for movement in history] == ["received"]
    assert history[0]["happened_at"] == "2027-03-03T12:00:00Z"
    assert papers == {
        "certificates": [],
        "life_statements": [],
        "titles": [],
        "identifications": [],
    }
