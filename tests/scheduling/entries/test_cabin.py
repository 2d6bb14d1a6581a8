"""An aircraft type on its page: doors by name, positions one a line, moved on the drawing."""

from __future__ import annotations

import pytest
from django.urls import reverse

from fleet.models import AircraftPosition, AircraftType, TypePosition
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("administrator"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def address():
    made = AircraftType.objects.create(code="TERN/1", name="Tern 100")
    build.a_kind("SLIDE")
    return reverse("scheduling:cabin", args=[made.pk])


def test_a_cabin_is_drawn_from_door_names_and_positions_stand_at_their_doors(desk, address):
    desk.post(address, {"doors": "Door 1 left\nDoor 1 right\n\nDoor 2 left"})
    desk.post(
        address, {"kind": "SLIDE", "positions": "D1L, Door 1 left slide\nd1r\tDoor 1 right slide"}
    )

    left, right = TypePosition.objects.order_by("code")
    assert (left.code, left.side, right.code, right.side) == ("D1L", "left", "D1R", "right")
    assert left.x_cm == right.x_cm and left.y_cm == -right.y_cm < 0
    page = desk.get(address).content.decode()
    assert page.count("plan-door") >= 3 and "D1L, Door 1 left slide" in page


def test_a_position_is_moved_by_a_button_and_by_dragging_and_stays_on_the_drawing(desk, address):
    desk.post(address, {"kind": "SLIDE", "positions": "D1L"})
    one = TypePosition.objects.get()

    desk.post(address, {"position": one.pk, "step": "aft"})
    desk.post(address, {"position": one.pk, "along": "25", "across": "-10"})
    desk.post(address, {"position": one.pk, "along": "9999999"})

    moved = TypePosition.objects.get()
    assert (moved.x_cm, moved.y_cm) == (3000, one.y_cm - 10)


def test_positions_that_are_named_get_to_the_aircraft_of_the_type(desk, address):
    aircraft = build.an_aircraft(of_type=AircraftType.objects.get())

    desk.post(address, {"kind": "SLIDE", "positions": "D1L\nD1R"})

    assert AircraftPosition.objects.filter(aircraft=aircraft).count() == 2


def test_a_line_that_names_nothing_new_is_refused_and_what_was_typed_stays(desk, address):
    answer = desk.post(address, {"kind": "SLIDE", "positions": ", no code"})

    assert answer.status_code == 422
    assert ", no code" in answer.content.decode()


def test_a_position_of_its_own_page_needs_no_centimetres_and_keeps_its_place(desk, address):
    said = {
        "aircraft_type": "TERN/1",
        "code": "D1L",
        "name": "Door 1 left",
        "kind": "SLIDE",
        "side": "left",
    }
    page = reverse("scheduling:enter_positions")

    desk.post(page, said)
    one = TypePosition.objects.get()
    desk.post(address, {"position": one.pk, "step": "aft"})
    desk.post(page, said | {"name": "Door 1 left slide"})

    again = TypePosition.objects.get()
    assert (again.name, again.x_cm) == ("Door 1 left slide", one.x_cm + 50)


def test_who_may_not_is_refused(client, address):
    client.force_login(build.a_person("technician"), "django.contrib.auth.backends.ModelBackend")

    answer = client.post(address, {"kind": "SLIDE", "positions": "D1L"})

    assert answer.status_code == 422
    assert not TypePosition.objects.exists()
