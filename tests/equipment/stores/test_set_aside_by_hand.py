"""A unit is set aside by hand: for a position that is named, with every reason against it at once."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.common import scanned
from equipment.models import Reservation
from fleet.house.pages import today
from tests import builders as build
from tests.equipment.line_world import BEFORE, POSITION, a_line, crew, signed_in
from tests.equipment.stores.world import certified

pytestmark = pytest.mark.django_db


@pytest.fixture
def people(db):
    return crew()


@pytest.fixture
def line(people):
    found = a_line()
    certified(found.new)
    return found


@pytest.fixture
def clerk(people):
    return signed_in(people["stores"])


def sent(line, **more):
    need_on = today() + timedelta(days=9)
    named = f"{line.aircraft.registration} {POSITION}"
    return {"place": named, "need_on": str(need_on), "words": "AOG", "act_id": str(uuid4()), **more}


def post(client, line, **more):
    address = reverse("equipment:stores_reserve", args=[line.new.pk])
    return client.post(address, sent(line, **more), follow=True)


def test_it_is_set_aside_and_the_unit_says_so(clerk, line, people):
    address = reverse("equipment:stores_unit", args=[line.new.pk])
    assert "Set it aside" in clerk.get(address).content.decode()

    answer = post(clerk, line)

    held = Reservation.objects.get()
    assert (held.unit, held.reserved_by, held.words) == (line.new, people["stores"], "AOG")
    assert "is set aside for" in answer.content.decode()
    assert "It is handed over" in answer.content.decode()


def test_one_form_sent_twice_sets_aside_once(clerk, line):
    act = str(uuid4())

    for _ in range(2):
        assert post(clerk, line, act_id=act).status_code == 200

    assert Reservation.objects.count() == 1


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("", "Name the aircraft and the position."),
        ("Q-NOWHERE D1L", "Name one position of one aircraft"),
        ("\x00", "Null characters are not allowed"),
    ],
)
def test_a_position_that_is_not_named_is_asked_for(clerk, line, place, words):
    answer = post(clerk, line, place=place)

    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Reservation.objects.exists()


def test_every_reason_against_it_is_said_at_once(clerk, line, people):
    build.moved(line.new, "quarantined", build.in_quarantine(line.station), "2026-08-02")
    tag_unit(
        by=people["technician"],
        unit_id=line.new.pk,
        tagged_at=BEFORE,
        act_id=uuid4(),
        at=BEFORE,
        tag=TagFact("unserviceable", "defect", "Torn girt"),
    )

    answer = post(clerk, line)

    said = answer.content.decode()
    assert answer.status_code == 422
    assert "is in quarantine" in said and "is tagged unserviceable" in said
    assert 'value="AOG"' in said  # nothing typed is lost
    assert not Reservation.objects.exists()


def test_a_day_that_is_past_is_refused_at_its_field(clerk, line):
    answer = post(clerk, line, need_on=str(today() - timedelta(days=3)))

    assert "is past: give the day of the need" in answer.content.decode()


@pytest.mark.parametrize("role", ["technician", "auditor", "inspector"])
def test_who_may_not_is_told_who_may(people, line, role):
    answer = post(signed_in(people[role]), line)

    assert not Reservation.objects.exists()
    assert answer.status_code in {403, 422}


def test_the_whole_code_of_a_position_is_meant_before_a_part_of_another(people):
    of_type = build.an_aircraft_type("D1L", "XD1L", kind=build.a_kind("SLIDE"))
    aircraft = build.an_aircraft(of_type=of_type)

    found = scanned.position_of(f"{aircraft.registration} D1L")

    assert found is not None and found.type_position.code == "D1L"
    assert scanned.position_of(f"{aircraft.registration} 1L") is None
    assert scanned.position_of(" ") is None


def test_why_somebody_put_it_in_quarantine_stands_where_it_is_inspected(clerk, line, people):
    build.moved(
        line.new,
        "quarantined",
        build.in_quarantine(line.station),
        "2026-08-02",
        reason="Seal broken",
    )

    for page in ("equipment:stores_inspect", "equipment:stores_unit"):
        shown = clerk.get(reverse(page, args=[line.new.pk])).content.decode()
        assert "Put in quarantine: Seal broken." in shown
