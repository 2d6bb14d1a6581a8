"""What really happened, told through the API: the same codes as on the page."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.utils import timezone

from equipment.findings.acts.walk_rounds import see_position, start_walk_round
from equipment.findings.walk.compare import Seen
from equipment.models import Discrepancy, Settlement, Unit
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene():
    """A slide fitted since March 2026, another in the store; and what was seen in its place."""
    station = build.a_station("LYD")
    aircraft = build.an_aircraft(station=station)
    slide = build.a_unit(serial_number="A731")
    other = build.a_unit(slide.part_number, serial_number="A912")
    now = timezone.now()
    build.installed(slide, build.at_position(aircraft), "2026-03-01", at=now)
    build.moved(other, "received", build.in_store(station), "2026-02-01", at=now)
    return aircraft, slide, other


def found(scene, seen):
    aircraft, now, by = scene[0], timezone.now(), build.a_person("technician")
    walk = start_walk_round(
        by=by,
        aircraft_id=aircraft.pk,
        zone="",
        station_id=aircraft.station_id,
        act_id=uuid4(),
        at=now,
    )
    done = see_position(
        by=by,
        walk_round_id=walk.pk,
        place=build.at_position(aircraft),
        seen=seen,
        act_id=uuid4(),
        at=now,
    )
    return done.discrepancies[0]


def settled(client, discrepancy, door, **body):
    happened = {
        "happened_on": "2026-05-10",
        "document": "LOG 4711",
        "to": {"sort": "quarantine", "station": "LYD"},
    }
    happened |= body.pop("happened", {})
    sent = {"act_id": str(uuid4()), "happened": happened, **body}
    return client.post(f"/api/v1/discrepancies/{discrepancy.pk}/{door}", sent, format="json"), sent


def test_a_swap_that_nobody_recorded_is_told_once(scene, controller):
    aircraft, slide, other = scene
    discrepancy = found(scene, Seen("", "A912"))

    answer, sent = settled(controller, discrepancy, "unrecorded-swap", unit=other.pk)
    again = controller.post(
        f"/api/v1/discrepancies/{discrepancy.pk}/unrecorded-swap", sent, format="json"
    )

    assert (answer.status_code, again.status_code) == (201, 200), answer.json()
    assert again.json() == answer.json()
    slide.refresh_from_db()
    other.refresh_from_db()
    assert (slide.place.sort, other.aircraft_id) == ("quarantine", aircraft.pk)


def test_an_unknown_unit_is_put_on_record(scene, controller):
    discrepancy = found(scene, Seen("", "B1"))
    part = scene[1].part_number.number

    answer, _ = settled(
        controller, discrepancy, "unknown-unit", part_number=part, serial_number="B1"
    )

    assert answer.status_code == 201, answer.json()
    assert Unit.objects.get(serial_number="B1").aircraft_id == scene[0].pk


@pytest.mark.parametrize(
    ("happened", "field", "code"),
    [
        ({"document": ""}, "happened.document", "blank"),
        ({"happened_on": "2090-01-01"}, "happened_on", "after_it_was_found"),
        ({"to": None}, "to", "missing"),
        ({"happened_on": "2026-02-20"}, "happened.unit", "nothing_recorded_before"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(scene, controller, happened, field, code):
    discrepancy = found(scene, Seen("", "A912"))

    answer, _ = settled(
        controller, discrepancy, "unrecorded-swap", unit=scene[2].pk, happened=happened
    )

    assert answer.status_code in {400, 422}
    assert (answer.json()["errors"][0]["field"], answer.json()["code"]) == (field, code)
    assert not Settlement.objects.exists()


def test_there_is_no_such_discrepancy(scene, controller):
    answer, _ = settled(controller, Discrepancy(pk=2**31), "unrecorded-swap")

    assert (answer.status_code, answer.json()["code"]) == (404, "unknown_discrepancy")
