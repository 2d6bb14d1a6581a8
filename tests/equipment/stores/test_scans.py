"""What a code leads to at the counter: a unit, an order, a bin, a certificate, a badge; and what it never does."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import Reservation
from equipment.stores.acts.bins import stow_unit
from equipment.stores.acts.issues import issue_unit
from equipment.stores.acts.shops import NewOrder, send_to_shop
from equipment.stores.reads.scans import meanings, next_page
from fleet.house.refusals import Refused
from fleet.models import User
from tests import builders as build
from tests.equipment.stores.world import (
    AT,
    TODAY,
    a_line,
    a_stocked_unit,
    certified,
    received,
    set_aside,
)

pytestmark = pytest.mark.django_db
GOOD, BAD = "09506000134352", "09506000134353"


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def unit(db):
    return a_stocked_unit(build.a_station("LYD"), build.a_part("HS-1"), serial_number="A100")


def another(unit, serial):
    return a_stocked_unit(unit.place.station, unit.part_number, serial_number=serial)


def sorts(code):
    return [each.sort for each in meanings(code, TODAY)]


def page_of(name, *args):
    return reverse(f"equipment:{name}", args=args)


def test_a_wrong_check_digit_opens_no_unit(unit):
    assert next_page(f"(01){GOOD}(21)A100", TODAY) == page_of("stores_unit", unit.pk)

    assert next_page(f"(01){BAD}(21)A100", TODAY).startswith(page_of("stores_receive"))


def test_receiving_refuses_a_code_whose_check_digit_is_wrong(unit):
    with pytest.raises(Refused) as refused:
        received(a_line("A100", scanned=f"(01){BAD}(21)A100"))
    assert [(each.code, each.field) for each in refused.value.refusals] == [
        ("code_not_read", "scanned")
    ]
    assert "check digit" in refused.value.message


def test_receiving_by_page_says_that_the_check_digit_is_wrong(client, clerk, unit):
    client.force_login(clerk)
    answer = client.get(page_of("stores_scan"), {"code": f"(01){BAD}(21)A100"}, follow=True)

    assert "check digit" in answer.content.decode()


def test_the_elements_of_a_label_with_slashes_lead_to_the_unit(unit):
    assert next_page("PNR HS-1/SER A100", TODAY) == page_of("stores_unit", unit.pk)


def test_an_asset_number_leads_to_the_unit_that_is_on_record_by_it(unit):
    other = another(unit, "950600AX7")

    assert next_page("(8004)950600AX7", TODAY) == page_of("stores_unit", other.pk)
    assert next_page("(8004)950600AX8", TODAY).startswith(page_of("stores_receive"))


def test_an_order_leads_to_its_return_and_of_several_units_one_chooses(clerk, unit):
    orders = []
    for each in (
        unit,
        another(unit, "A101"),
    ):
        told = NewOrder(each.pk, "Shop", "PO-7", each.place.station_id, TODAY, TODAY)
        orders.append(send_to_shop(by=clerk, order=told, act_id=uuid4(), at=AT, today=TODAY))
        if len(orders) == 1:
            assert next_page("po-7", TODAY) == page_of("stores_order", orders[0].pk)

    assert sorts("PO-7") == ["order", "order"]
    assert next_page("PO-7", TODAY).startswith(page_of("stores_which"))


def test_a_bin_leads_to_what_lies_there(client, clerk, unit):
    stow_unit(by=clerk, unit_id=unit.pk, bin_name="R2-04", act_id=uuid4(), at=AT)

    link = next_page("r2-04", TODAY)
    client.force_login(clerk)
    assert "A100" in client.get(link).content.decode()


def test_a_certificate_leads_to_its_units(unit):
    certified(unit, "C-77")

    assert next_page("c-77", TODAY) == page_of("stores_unit", unit.pk)


def test_a_badge_names_whom_it_is_handed_to_and_leads_to_what_is_with_him(clerk, unit):
    oake = User.objects.create(username="oake", first_name="R.", last_name="Oake")
    held = set_aside(unit, unit.place_id, clerk)
    issue_unit(by=clerk, reservation_id=held.pk, to="OAKE", at=AT)

    assert Reservation.objects.get(pk=held.pk).issued_to == oake.shown_name == "R. Oake"
    assert next_page("oake", TODAY) == page_of("stores_bring_back", held.pk)


def test_a_code_that_may_mean_two_things_is_asked_about(client, clerk, unit):
    other = another(unit, "B200")
    stow_unit(by=clerk, unit_id=other.pk, bin_name="A100", act_id=uuid4(), at=AT)

    client.force_login(clerk)
    answer = client.get(page_of("stores_scan"), {"code": "A100"}, follow=True)

    assert sorts("A100") == ["unit", "bin"]
    said = answer.content.decode()
    assert "Bin A100 at LYD" in said and "S/N A100" in said


@pytest.mark.parametrize("code", ["", " ", "\x00", "9" * 4000, "﷽", "PO-0", "[)>06"])
def test_a_code_for_nothing_goes_to_receiving_or_is_said(client, clerk, unit, code):
    client.force_login(clerk)
    for name in ("stores_scan", "stores_which"):
        answer = client.get(page_of(name), {"code": code}, follow=True)
        assert answer.status_code == 200


def test_every_page_of_the_stores_has_one_field_for_scans_and_the_cursor_in_it_after_an_act(
    client, clerk, unit
):
    client.force_login(clerk)
    pages = ("stores", "stores_receive", "stores_waiting", "stores_stock", "stores_shop")
    for address in (*(page_of(each) for each in pages), page_of("stores_unit", unit.pk)):
        said = client.get(address).content.decode()
        assert said.count('name="code"') == 1, address
    # where an act leads, the cursor waits for the next code; where something is asked, it is at what is asked
    assert "autofocus" in said.split('name="code"')[1].split(">")[0]
    asked = client.get(page_of("stores_stow", unit.pk)).content.decode()
    assert "autofocus" not in asked.split('name="code"')[1].split(">")[0]
