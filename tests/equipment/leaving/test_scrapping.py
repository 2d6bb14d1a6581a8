from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.keeping.repair import check_whereabouts
from equipment.leaving.acts.scrap import Scrapped, scrap_unit
from equipment.models import Movement, Scrapping, Unit, UnitTag
from equipment.segregation.shop_first import condemned_by
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, code_of, set_aside

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(db):
    return a_stocked_unit()


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


def scrap_of(unit, **more):
    said = Scrapped(
        unit.pk, "Life limit reached.", "cut", "R. Oake", "41 210 h, 9 020 cycles.", TODAY
    )
    return replace(said, **more)


def scrapped(clerk, unit, **more):
    return scrap_unit(by=clerk, scrap=scrap_of(unit, **more), act_id=uuid4(), at=AT)


def test_it_is_condemned_by_it_and_leaves_the_stock_with_its_final_record(unit, clerk):
    made = scrapped(clerk, unit, total_cycles=9020, document="SCR-11")

    assert Unit.objects.get(pk=unit.pk).place.sort == "gone"
    assert condemned_by(unit.pk) == made.tag
    assert (made.mutilation, made.witness, made.total_cycles) == ("cut", "R. Oake", 9020)
    assert made.movement.sort == "scrapped" and made.movement.document == "SCR-11"
    again = TagFact("serviceable", "removed_good")
    assert (
        code_of(tag_unit, by=clerk, unit_id=unit.pk, tag=again, tagged_at=AT, act_id=uuid4(), at=AT)
        == "unit_condemned"
    )
    assert list(check_whereabouts()) == []


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"witness": " "}, "missing"),
        ({"why": ""}, "missing"),
        ({"final_record": ""}, "missing"),
        ({"mutilation": "sold"}, "unknown_mutilation"),
        ({"scrapped_on": build.day("2027-06-09")}, "in_the_future"),
    ],
)
def test_what_is_not_said_whole_is_refused_and_nothing_half_done(unit, clerk, more, code):
    moved = Movement.objects.count()

    assert code_of(scrapped, clerk, unit, **more) == code
    assert code_of(scrapped, clerk, unit, witness=clerk.username.upper()) == "witness_is_oneself"
    assert not Scrapping.objects.exists() and not UnitTag.objects.exists()
    assert Movement.objects.count() == moved


def test_what_is_set_aside_suspected_or_in_no_store_is_refused(unit, clerk):
    aircraft = build.an_aircraft()
    fitted, suspect = a_stocked_unit(), a_stocked_unit()
    done = build.installed(fitted, build.at_position(aircraft), "2027-04-01")
    place = Movement.objects.get(pk=done.movement_id).to_place_id
    set_aside(unit, place)
    hold = NewHold("unit", "unapproved", "Forged stamps.", unit_id=suspect.pk)
    hold_units(by=clerk, hold=hold, act_id=uuid4(), at=AT)

    assert code_of(scrapped, clerk, unit) == "reserved_elsewhere"
    assert code_of(scrapped, clerk, fitted) == "unit_not_in_store"
    assert code_of(scrapped, clerk, suspect) == "unit_on_hold"
    assert code_of(scrapped, build.a_person("technician"), unit) == "not_permitted"


def test_by_its_page_what_is_missing_stands_at_its_field(client, unit, clerk):
    client.force_login(clerk)
    address = reverse("equipment:stores_scrap", args=[unit.pk])
    assert address in client.get(reverse("equipment:stores_unit", args=[unit.pk])).content.decode()
    form = {
        "act_id": uuid4(),
        "why": "Torn.",
        "mutilation": "crushed",
        "witness": "",
        "final_record": "None.",
        "scrapped_on": "2026-01-01",
    }
    refused = client.post(address, form)

    assert refused.status_code == 422 and refused.context["form"].errors.keys() == {"witness"}
    assert not Scrapping.objects.exists()
