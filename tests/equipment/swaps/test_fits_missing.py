"""Where no fits are entered, what is proposed for a position says so."""

from __future__ import annotations

import pytest
from django.urls import reverse

from equipment.ledger.facts import PlaceAt
from equipment.swaps.reads.start import is_without_fits
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.fixture
def aircraft():
    return build.an_aircraft("D1L-SLIDE")


def test_a_position_without_fits_says_so_until_one_is_entered(aircraft):
    place = build.at_position(aircraft)
    part = build.a_part()

    before = is_without_fits(place)
    build.a_fit(part, aircraft, "D1L-SLIDE")

    assert before
    assert not is_without_fits(place)
    assert not is_without_fits(PlaceAt("aircraft", aircraft_position_id=0))


def test_the_start_of_a_swap_cautions_where_a_part_of_either_hand_is_offered(client, aircraft):
    client.force_login(build.a_person("technician"), "django.contrib.auth.backends.ModelBackend")
    kind = aircraft.positions.get().type_position.kind
    spare = build.a_unit(build.a_part(kind=kind), serial_number="R1")
    build.moved(spare, "received", build.in_store(aircraft.station), "2020-01-05")
    position = aircraft.positions.get().pk

    page = client.get(reverse("equipment:swap_start"), {"position": position}).content.decode()

    assert "R1" in page
    assert "Fits not entered." in page
