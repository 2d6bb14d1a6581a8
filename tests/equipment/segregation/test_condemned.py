"""What was condemned stays condemned; what is tagged inside a unit keeps it out of stock; an empty position at any
depth keeps it off the aircraft."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.availability.acts.using import why_not_use_unit
from equipment.judging.release.obstacles import stands_in_the_way
from equipment.ledger.facts import RowsRefused
from equipment.models import ShopOrder, Unit
from equipment.stores.acts.shops import NewOrder, send_to_shop
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit

pytestmark = pytest.mark.django_db
CONDEMNED = TagFact("unsalvageable", "defect", "Fabric porous.")


def tagged(unit, tag, at=AT):
    by = build.a_person("technician")
    return tag_unit(by=by, unit_id=unit.pk, tag=tag, tagged_at=at, act_id=uuid4(), at=at)


@pytest.fixture
def condemned(db):
    unit = a_stocked_unit()
    tagged(unit, CONDEMNED)
    return unit


@pytest.mark.parametrize("why", ["", "shop", "removed_good"])
def test_nobody_tags_it_serviceable_again(condemned, why):
    with pytest.raises(Refused) as told:
        tagged(condemned, TagFact("serviceable", why))

    assert told.value.code == "unit_condemned"
    assert "Fabric porous" in told.value.message


def test_no_later_tag_and_no_shop_makes_it_usable(condemned):
    station = Unit.objects.get(pk=condemned.pk).place.station
    tagged(condemned, TagFact("unserviceable", "defect"))
    build.moved(condemned, "sent", build.SHOP, "2027-04-02 08:00", at=AT)
    build.moved(condemned, "returned", build.in_store(station), "2027-05-02 08:00", at=AT)

    reasons = why_not_use_unit(unit_id=condemned.pk, place=None, need_on=TODAY, at=AT)

    (why,) = [each for each in reasons if each.code == "unit_unserviceable"]
    assert "unsalvageable" in why.message


def order_of(unit, **more):
    station = Unit.objects.get(pk=unit.pk).place.station
    facts = {"shop": "Lee Shore", "number": "PO-1", "station_id": station.pk, "sent_on": TODAY}
    return NewOrder(unit_id=unit.pk, promised_on=TODAY, **facts, **more)


def sent(order):
    clerk = build.a_person("stores")
    return send_to_shop(by=clerk, order=order, act_id=uuid4(), at=AT, today=TODAY)


def test_a_shop_order_for_it_is_questioned_and_kept_once_confirmed(condemned):
    with pytest.raises(Refused) as told:
        sent(order_of(condemned))

    assert [each.code for each in told.value.refusals] == ["unit_condemned", "confirm_first"]
    assert not ShopOrder.objects.exists()
    assert sent(order_of(condemned, is_confirmed=True)).unit == condemned


def test_the_page_and_the_api_question_it_too(condemned, program, time_machine):  # noqa: F811
    time_machine.move_to(AT)
    order = order_of(condemned)
    body = {
        "act_id": str(uuid4()),
        "shop": order.shop,
        "number": order.number,
        "sent_on": f"{TODAY}",
        "promised_on": f"{TODAY}",
    }
    clerk = Client()
    clerk.force_login(build.a_person("stores"))

    page = clerk.post(
        reverse("equipment:stores_send", args=[condemned.pk]),
        {**body, "station": order.station_id},
    )
    code = (
        condemned.place.station.code
        if condemned.place
        else Unit.objects.get(pk=condemned.pk).place.station.code
    )
    answer = program("stores").post(
        "/api/v1/stores/orders", {**body, "unit": condemned.pk, "station": code}, format="json"
    )

    assert "no shop makes it serviceable again" in page.content.decode()
    assert "confirm_first" in {each["code"] for each in answer.json()["errors"]}
    assert not ShopOrder.objects.exists()


# --- inside ---------------------------------------------------------------------------------------


@pytest.fixture
def holder(db):
    """In quarantine, with a light in it that is tagged unserviceable."""
    station = build.a_station()
    unit, light = build.a_unit(build.a_part("", "LIGHT")), build.a_unit()
    build.moved(unit, "received", build.in_quarantine(station), "2027-03-01")
    build.installed(light, build.inside(unit), "2027-03-02")
    unit.station = station
    tagged(
        light,
        TagFact("unserviceable", "defect", "Will not light."),
        build.instant("2027-03-05 10:00"),
    )
    return unit


def test_release_to_stock_looks_at_tags_inside(holder):
    store = build.in_store(holder.station)

    done = build.moved(holder, "released", store, "2027-04-01")
    with pytest.raises(RowsRefused) as refused:
        build.moved(holder, "released", store, "2027-04-01", is_strict=True)

    assert {each.code for each in done.reasons} == {"unit_unserviceable"}
    assert not done.is_conforming
    assert {each.code for each in refused.value.by_row[0]} == {"unit_unserviceable"}


def test_an_empty_position_two_levels_down_stops_a_release():
    job = swaps.a_job(swaps.SHORT)
    part = build.a_part("", "BOTTLE", kind=job.old.part_number.kind)
    slide, bottle = build.a_unit(part), build.a_unit(build.a_part("", "GAUGE"))
    swaps.a_certificate(slide)
    build.moved(slide, "received", build.in_store(job.station), "2027-03-01")
    build.installed(bottle, build.inside(slide, "BOTTLE"), "2027-03-02")
    job.open()
    job.take_off()
    job.put_on(slide)
    job.do_steps()

    (obstacle,) = stands_in_the_way(state_of(job.swap, job.tick()))

    assert obstacle.code == "nested_unaccounted"
    assert "GAUGE" in obstacle.sentence
    assert bottle.serial_number in obstacle.sentence

    build.installed(build.a_unit(), build.inside(bottle, "GAUGE"), "2027-05-01")
    assert job.release()
