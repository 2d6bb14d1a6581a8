"""What the stores' pages say of works and of quarantine, in words that a clerk uses."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.test import Client

from equipment.stores.acts.shops import NewOrder, send_to_shop
from equipment.stores.reads.clerk_day import clerk_day
from scheduling.models import Work
from tests import builders as build
from tests.equipment.stores.world import a_stocked_unit
from tests.scheduling.answers.test_stores import slide  # noqa: F401 (a fixture)

pytestmark = pytest.mark.django_db
AT = build.instant("2027-06-01 12:00")


@pytest.fixture(autouse=True)
def midday():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def clerk(db):
    client = Client()
    client.force_login(build.a_person("stores"))
    return client


@pytest.fixture
def order(slide):  # noqa: F811
    """The slide at the shop for its overhaul; the battery inside falls due before the next one."""
    Work.objects.filter(code="OH").update(name="Overhaul")
    Work.objects.filter(code="BATTERY").update(name="Battery replacement")
    station = build.a_station("LYD")
    build.moved(slide, "received", build.in_store(station), "2027-03-01")
    asked = NewOrder(
        slide.pk,
        "Lee Shore",
        "PO-7",
        station.pk,
        build.day("2027-06-01"),
        build.day("2027-06-20"),
        ("OH",),
    )
    return send_to_shop(
        by=build.a_person("stores"),
        order=asked,
        act_id=uuid4(),
        at=AT,
        today=build.day("2027-06-01"),
    )


def test_an_order_names_its_works_and_all_that_falls_due_before_the_next(clerk, order):
    told = clerk.get(f"/stores/shop/{order.pk}/").content.decode()

    assert "<dd>Overhaul</dd>" in told
    assert "Battery replacement, due " in told
    assert "(L-BATTERY)" in told


def test_the_list_of_the_shops_names_works_and_not_their_codes(clerk, order):
    told = clerk.get("/stores/shop/").content.decode()

    assert ">Overhaul<" in told
    assert ">OH<" not in told


def test_a_return_begins_with_the_works_asked_for_and_each_needs_its_day(clerk, order):
    address = f"/stores/shop/{order.pk}/"
    assert '<option value="OH" selected>' in clerk.get(address).content.decode()
    sent = {
        "how": "done",
        "returned_on": "2027-06-01",
        "station": order.station_id,
        "work_0": "OH",
        "form": "Form 1",
        "tracking_number": "C-9",
        "issuer": "Lee Shore",
        "status": "Overhauled",
        "issued_on": "2027-05-30",
        "printed_serial": order.unit.serial_number,
        "act_id": str(uuid4()),
    }

    refused = clerk.post(address, sent)

    assert refused.status_code == 422
    assert "Say when this work was done." in refused.content.decode()
    assert clerk.post(address, sent | {"work_0_on": "2027-05-29"}).status_code == 302


def test_what_comes_back_untouched_names_no_work(clerk, order):
    sent = {
        "how": "untouched",
        "returned_on": "2027-06-01",
        "station": order.station_id,
        "work_0": "OH",
        "words": "No room.",
        "act_id": str(uuid4()),
    }

    answer = clerk.post(f"/stores/shop/{order.pk}/", sent)

    assert answer.status_code == 302
    order.refresh_from_db()
    assert order.returned.works == []


def test_who_sends_a_unit_reads_what_falls_due_on_it_and_inside_it(clerk, slide):  # noqa: F811
    told = clerk.get(f"/stores/units/{slide.pk}/send/").content.decode()

    assert ": OH, due " in told
    assert ": BATTERY, due " in told


def test_shops_that_were_ever_sent_anything_are_offered_by_name(clerk, order):
    other = a_stocked_unit(order.station)

    told = clerk.get(f"/stores/units/{other.pk}/send/").content.decode()

    assert '<option value="Lee Shore"></option>' in told


def test_the_day_says_why_a_unit_was_put_into_quarantine(db):
    unit = a_stocked_unit(build.a_station("LYD"))
    build.moved(
        unit,
        "quarantined",
        build.in_quarantine(unit.place.station),
        "2027-05-20",
        reason="Gauge below its band.",
    )

    (waiting,) = clerk_day(today=build.day("2027-06-01"), at=AT).to_inspect

    assert waiting.why == "Put in quarantine: Gauge below its band."
