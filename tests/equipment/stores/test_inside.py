"""A slide comes with its light inside: what the light's plate says is brought on record with it."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.test import Client

from equipment.models import Movement, PartNumber, Unit
from equipment.stores.acts.inside import FoundInside, note_inside
from equipment.stores.reads.inside import inside_of
from equipment.swaps.reads.unit_on import empty_inside
from tests import builders as build

from .world import AT, a_line, a_stocked_unit, code_of, received, works

pytestmark = pytest.mark.django_db


@pytest.fixture
def slide(db):
    """Just received, in quarantine, with a position for a light inside."""
    works()
    part, light = build.a_part("HS-1"), build.a_kind("LIGHT")
    part.positions.create(code="LIGHT", name="Light unit", kind=light)
    build.a_part("LU-9", kind=light)
    return Unit.objects.get(pk=received(a_line()).lines[0].unit_id)


def noted(slide, serial="L77", by=None, act_id=None, **more):
    position = slide.part_number.positions.get()
    facts = {"part_number": "LU-9", "serial_number": serial, "position_id": position.pk} | more
    return note_inside(
        by=by or build.a_person("stores"),
        found=FoundInside(slide.pk, **facts),
        act_id=act_id or uuid4(),
        at=AT,
    )


def test_a_light_is_received_with_its_slide_and_stands_inside_it(slide):
    assert [each.is_empty for each in inside_of(slide)] == [True]

    light = noted(slide, manufactured_on=build.day("2026-03-01"), stated_life_months=96)

    assert light.place.parent_unit == slide
    assert (light.manufactured_on, light.stated_life_months) == (build.day("2026-03-01"), 96)
    assert [each.units for each in inside_of(slide)] == [("LU-9 S/N L77",)]
    assert empty_inside(slide) == []
    sorts = Movement.objects.filter(unit=light).order_by("pk").values_list("sort", flat=True)
    assert list(sorts) == ["received", "installed"]


def test_the_same_act_again_changes_nothing(slide):
    act_id = uuid4()
    first = noted(slide, act_id=act_id)

    assert noted(slide, act_id=act_id) == first
    assert Movement.objects.filter(unit=first).count() == 2


def test_one_from_the_shelf_is_fitted_and_not_received_again(slide):
    shelved = a_stocked_unit(slide.place.station, part=PartNumber.objects.get(number="LU-9"))

    light = noted(slide, serial=shelved.serial_number)

    assert light == shelved
    assert Movement.objects.filter(unit=light, sort="received").count() == 1


def test_a_light_that_the_shop_replaced_is_scrapped_and_the_new_one_stands_there(slide):
    old = noted(slide)

    new = noted(slide, serial="M-4410", is_replaced=True)

    old.refresh_from_db()
    assert (old.place.sort, new.place.parent_unit) == ("gone", slide)
    assert [each.units for each in inside_of(slide)] == [("LU-9 S/N M-4410",)]


def test_nothing_is_replaced_where_nothing_was_on_record(slide):
    assert code_of(noted, slide, is_replaced=True) == "nothing_replaced"


def test_what_is_wrong_is_refused_by_name_and_nothing_is_half_done(slide):
    noted(slide)
    units = Unit.objects.count()

    assert code_of(noted, slide, serial="L77") == "unit_elsewhere"
    assert code_of(noted, slide, serial="L78", part_number="XX") == "unknown_part_number"
    assert code_of(noted, slide, serial="L-77") == "near_match"
    assert code_of(noted, slide, serial="L79", position_id=0) == "unknown_position"
    assert code_of(noted, slide, serial="L80") == "position_full"
    assert code_of(noted, slide, by=build.a_person("technician")) == "not_permitted"
    assert Unit.objects.count() == units


def test_the_page_asks_what_is_inside_until_it_is_said(slide, client: Client):
    client.force_login(build.a_person("stores"))
    own = f"/stores/units/{slide.pk}/"
    assert "Nothing is on record here" in client.get(own).content.decode()
    sent = {
        "position": slide.part_number.positions.get().pk,
        "part_number": "LU-9",
        "serial_number": "L77",
        "act_id": str(uuid4()),
    }

    answer = client.post(f"{own}inside/", sent)

    assert answer.status_code == 302
    told = client.get(own).content.decode()
    assert "LU-9 S/N L77" in told
    assert "Nothing is on record here" not in told
    assert "Correct the component" in told


@pytest.mark.parametrize("junk", ["", "\x00", "x" * 300, "½", "-1"])
def test_junk_gets_a_sentence(slide, client: Client, junk):
    client.force_login(build.a_person("stores"))
    address = f"/stores/units/{slide.pk}/inside/"
    sent = {"position": junk, "part_number": junk, "serial_number": junk, "manufactured_on": junk}

    answer = client.post(address, sent)

    assert answer.status_code == 422
    assert not Unit.objects.exclude(pk=slide.pk).exists()
