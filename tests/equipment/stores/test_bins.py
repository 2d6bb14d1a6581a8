"""A bin is for the kinds that were said: nothing else is put there, by whichever act."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from equipment.models import BinUse, Unit
from equipment.stores.acts.bins import BinSaid, say_bin, stow_unit
from equipment.stores.acts.issues import bring_back, issue_unit
from equipment.stores.reads.bins import bins
from fleet.house.refusals import Refused
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.equipment.stores.world import (
    AT,
    a_stocked_unit,
    code_of,
    inspected,
    received,
    set_aside,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def unit(db):
    kind = build.a_kind("SLIDE")
    build.a_kind("VEST")
    return a_stocked_unit(build.a_station("LYD"), build.a_part("HS-1", kind=kind))


def said(clerk, unit, *kinds, bin_name="R2"):
    use = BinSaid(unit.place.station_id, bin_name, kinds)
    return say_bin(by=clerk, use=use, act_id=uuid4(), at=AT)


def stowed(clerk, unit, bin_name="r2"):
    return stow_unit(by=clerk, unit_id=unit.pk, bin_name=bin_name, act_id=uuid4(), at=AT)


def test_a_bin_for_another_kind_is_refused_at_its_field_and_nothing_moves(clerk, unit):
    said(clerk, unit, "VEST")
    with pytest.raises(Refused) as refused:
        stowed(clerk, unit)
    [told] = refused.value.refusals
    assert (told.code, told.field) == ("bin_for_another_kind", "bin")
    assert "Bin R2 is for" in told.message and "choose another bin" in told.message
    assert Unit.objects.select_related("place").get(pk=unit.pk).place.name == ""

    stowed(clerk, unit, "R3")


def test_the_latest_word_counts_and_no_kind_is_any(clerk, unit):
    said(clerk, unit, "VEST")
    said(clerk, unit, "vest", "slide")
    stowed(clerk, unit)
    said(clerk, unit, "VEST")
    said(clerk, unit)
    stowed(clerk, unit, "R2")


def test_inspection_and_return_are_held_to_it_too(clerk, unit):
    said(clerk, unit, "VEST")
    [line] = received(station=unit.place.station).lines
    assert code_of(inspected, line.unit_id, bin_name="R2") == "bin_for_another_kind"

    held = set_aside(unit, unit.place_id, clerk)
    issue_unit(by=clerk, reservation_id=held.pk, to="R. Oake", at=AT)
    facts = {"by": clerk, "reservation_id": held.pk, "act_id": uuid4(), "at": AT, "words": ""}
    assert code_of(bring_back, bin_name="R2", is_doubtful=False, **facts) == "bin_for_another_kind"


@pytest.mark.parametrize(
    ("kinds", "bin_name", "code"),
    [(("NONE",), "R2", "unknown_kind"), ((), " ", "missing")],
)
def test_what_no_bin_can_be_for_is_refused(clerk, unit, kinds, bin_name, code):
    assert code_of(said, clerk, unit, *kinds, bin_name=bin_name) == code
    assert not BinUse.objects.exists()


def test_by_page(client, clerk, unit):
    client.force_login(clerk)
    address = reverse("equipment:stores_bins")
    form = {"act_id": uuid4(), "station": unit.place.station_id, "bin": "R2", "kinds": ["VEST"]}
    assert client.get(address).status_code == 200
    answer = client.post(address, form, follow=True)
    assert BinUse.objects.get().kinds == ["VEST"], answer.content.decode()[:200]


def test_every_bin_is_listed_with_what_lies_there_and_what_it_may_hold(clerk, unit):
    said(clerk, unit, "VEST", bin_name="R9")
    stowed(clerk, unit, "R3")
    said(clerk, unit, "SLIDE", bin_name="r3")

    found = {each.name: (each.units, each.waiting, each.kinds) for each in bins("LYD")}

    assert set(found) == {"R3", "R9"}
    assert found["R3"][:2] == (1, 0) and len(found["R3"][2]) == 1
    page = signed_in(clerk).get(reverse("equipment:stores_bins"), {"station": "LYD", "bin": "R9"})
    words = page.content.decode()
    assert 'value="R9"' in words
    assert "?station=LYD&amp;bin=R3" in words


def test_the_list_of_bins_asks_the_same_of_many(clerk, unit):
    stowed(clerk, unit, "R3")
    with CaptureQueriesContext(connection) as few:
        bins()
    for number in range(30):
        said(clerk, unit, "SLIDE", bin_name=f"S{number}")
    with CaptureQueriesContext(connection) as many:
        assert len(bins()) == 31

    assert len(many) == len(few)
