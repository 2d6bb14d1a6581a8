"""The pages of units: found by a plate's numbers, where they are, their whole history."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.keeping.correct import correct_movement
from equipment.ledger.facts import MovementFact
from equipment.models import Filling, PartPosition
from tests.builders import (
    NOW,
    a_part,
    a_person,
    a_station,
    a_unit,
    an_aircraft,
    at_position,
    day,
    in_quarantine,
    in_store,
    inside,
    installed,
    moved,
    on,
    removed,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(a_person("auditor"), "django.contrib.auth.backends.ModelBackend")
    return client


def page_of(desk, unit):
    return desk.get(reverse("equipment:unit", args=[unit.pk])).content.decode()


def found(desk, **query):
    return desk.get(reverse("equipment:unit_list"), query).content.decode()


def test_a_unit_is_found_by_any_part_of_its_numbers(desk):
    a_unit(a_part("HS-7700"), serial_number="K0815")
    a_unit(a_part("HS-8800"), serial_number="K0900")

    page = found(desk, text="7700 0815")

    assert "K0815" in page
    assert "K0900" not in page


@pytest.mark.parametrize("text", ["HS-7700 · K0815", "hs-7700 S/N k0815", "P/N HS-7700, S/N K0815"])
def test_a_unit_is_found_by_its_numbers_as_they_are_printed_here(desk, text):
    a_unit(a_part("HS-7700"), serial_number="K0815")

    assert "K0815</" in found(desk, text=text)


@pytest.mark.parametrize("name", ["text", "kind", "where"])
def test_a_search_for_what_no_database_takes_finds_nothing(desk, name):
    assert "Units" in found(desk, **{name: "a\x00b"})


def test_a_search_that_finds_nothing_says_what_would_do(desk):
    assert "Give less of the number" in found(desk, text="nowhere")


def test_a_unit_is_found_where_it_is(desk):
    aircraft, store = an_aircraft("D1L-SLIDE"), a_station("BRE")
    fitted, stocked = a_unit(serial_number="FITTED1"), a_unit(serial_number="STOCKED1")
    installed(fitted, at_position(aircraft), "2026-01-05")
    moved(stocked, "received", in_store(store), "2026-01-05")

    on_aircraft, at_station = found(desk, where=aircraft.registration), found(desk, where="BRE")

    assert ("FITTED1" in on_aircraft, "STOCKED1" in on_aircraft) == (True, False)
    assert ("FITTED1" in at_station, "STOCKED1" in at_station) == (False, True)


def test_a_light_says_which_slide_and_aircraft_it_is_in(desk):
    aircraft = an_aircraft("D1L-SLIDE")
    slide, light = a_unit(a_part("HS-1", "LIGHT"), serial_number="SLIDE1"), a_unit()
    installed(slide, at_position(aircraft), "2026-01-05")
    installed(light, inside(slide), "2026-01-05")

    page = page_of(desk, light)

    assert "LIGHT in HS-1 S/N SLIDE1" in page
    assert f"{aircraft.registration} D1L-SLIDE" in page


def test_history_has_both_times_newest_first(desk):
    aircraft, unit = an_aircraft("D1L-SLIDE"), a_unit()
    installed(unit, at_position(aircraft), "2026-01-05")
    removed(unit, in_store(a_station("BRE")), "2026-02-07")

    page = page_of(desk, unit)

    assert page.index("removed to store BRE") < page.index("installed at")
    assert "7 Feb 2026" in page
    assert "1 Jun 2027 12:00 UTC" in page


def test_what_does_not_conform_is_said_in_sentences(desk):
    unit = a_unit(serial_number="K0815")
    done = moved(unit, "removed", in_quarantine(a_station("BRE")), "2026-03-01")
    assert not done.is_conforming

    page = desk.get(reverse("equipment:unit", args=[unit.pk])).content.decode()

    assert "does not conform:" in page
    assert done.reasons[0].message.split(":")[0] in page
    assert "&#x27;code&#x27;" not in page and "{&" not in page


def test_what_was_corrected_is_struck_through_and_kept(desk):
    unit, store, other = a_unit(), a_station("BRE"), a_station("COV")
    moved(unit, "received", in_store(store), "2026-01-05")
    wrong = unit.movements.get()

    correct_movement(
        by=a_person("controller"),
        movement_id=wrong.pk,
        fact=MovementFact(unit.pk, "received", in_store(other), on("2026-01-05")),
        act_id=uuid4(),
        at=NOW,
    )
    page = page_of(desk, unit)

    assert '<span class="struck">received into store BRE</span>' in page
    assert "<span>received into store COV</span>" in page
    assert "corrects what was recorded before" in page


def test_a_unit_that_does_not_exist_is_a_page_that_says_so(desk):
    answer = desk.get(reverse("equipment:unit", args=[99]))

    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()


def offered(page):
    return re.findall(r'<li><a href="[^"]*">([^<]*)</a></li>', page.split("unit-acts-more")[0])


def test_a_page_offers_what_its_reader_may_do_with_what_the_unit_is(client):
    bottle, slide, battery = (a_unit(serial_number=serial) for serial in ("BOT1", "SLD1", "BAT1"))
    PartPosition.objects.create(
        part_number=slide.part_number, code="BOTTLE", name="Bottle", kind=bottle.part_number.kind
    )
    installed(bottle, inside(slide, "BOTTLE"), "2027-03-02")
    Filling.objects.create(
        act_id=uuid4(),
        unit=bottle,
        sort="filling",
        number=1,
        done_on=day("2027-01-05"),
        recorded_at=NOW,
        recorded_by=a_person("stores"),
    )
    seen = {}
    for role in ("technician", "auditor"):
        client.force_login(a_person(role), "django.contrib.auth.backends.ModelBackend")
        seen[role] = {unit: page_of(client, unit) for unit in (bottle, slide, battery)}

    by_mechanic = {unit.serial_number: offered(page) for unit, page in seen["technician"].items()}
    filling, discharge = "Record a filling", "Record an inflation or discharge"
    assert [filling in by_mechanic[one] for one in ("BOT1", "SLD1", "BAT1")] == [True, False, False]
    assert [discharge in by_mechanic[one] for one in ("BOT1", "SLD1", "BAT1")] == [
        True,
        True,
        False,
    ]
    # of what is not known to be a bottle each way is kept, further down
    assert (
        filling in seen["technician"][battery] and "unit-acts-more" in seen["technician"][battery]
    )
    assert not any(offered(page) or filling in page for page in seen["auditor"].values())
