"""What is asked to be bought, and what becomes of it: ordered, expected, received in parts, withdrawn."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.buying.acts.requests import NewRequest, NewStep, note_purchase, request_purchase
from equipment.buying.reads import open_by_part, open_requests
from equipment.models import PurchaseRequest, PurchaseStep
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, code_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk(db):
    build.a_part("HS-1")
    return build.a_person("stores")


def asked(clerk, **more):
    facts = {"part_number": "hs-1", "quantity": 3, "why": "Two short in July."}
    wanted = NewRequest(**facts | more)
    return request_purchase(by=clerk, wanted=wanted, act_id=uuid4(), at=AT, today=TODAY)


def noted(clerk, request, sort, **more):
    step = NewStep(request.pk, sort, **more)
    return note_purchase(by=clerk, step=step, act_id=uuid4(), at=AT)


def stands():
    return [(each.state, each.open, each.is_late) for each in open_requests(TODAY)]


def test_a_request_goes_from_asked_for_to_received_in_parts(clerk):
    one = asked(clerk)
    assert stands() == [("asked for", 3, False)] and open_by_part(TODAY) == {"HS-1": 3}

    noted(clerk, one, "ordered", supplier="Tidewater Parts", order_number="PO-220")
    noted(clerk, one, "expected", expected_on=build.day("2027-05-31"))
    assert stands() == [("expected", 3, True)]

    noted(clerk, one, "received", quantity=2)
    assert open_by_part(TODAY) == {"HS-1": 1}
    noted(clerk, one, "received", quantity=1)
    assert stands() == [] and open_by_part(TODAY) == {}


BAD = {
    "ordered without number": ({"sort": "ordered", "supplier": "T"}, "missing"),
    "ordered of nobody": ({"sort": "ordered", "order_number": "1"}, "missing"),
    "expected on no day": ({"sort": "expected"}, "missing"),
    "none received": ({"sort": "received"}, "quantity_wrong"),
    "more than open": ({"sort": "received", "quantity": 4}, "quantity_wrong"),
    "below nought": ({"sort": "received", "quantity": -1}, "quantity_wrong"),
    "withdrawn without words": ({"sort": "withdrawn"}, "missing"),
    "no such step": ({"sort": "lost"}, "unknown_step"),
}


@pytest.mark.parametrize(("more", "code"), BAD.values(), ids=BAD)
def test_what_cannot_be_noted_is_refused_and_nothing_is_kept(clerk, more, code):
    one = asked(clerk)
    assert code_of(noted, clerk, one, **more) == code
    assert not PurchaseStep.objects.exists()


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"part_number": "NONE-1"}, "unknown_part_number"),
        ({"quantity": 0}, "quantity_wrong"),
        ({"quantity": -2}, "quantity_wrong"),
        ({"why": "  "}, "missing"),
        ({"wanted_on": build.day("2027-05-31")}, "wanted_in_the_past"),
    ],
)
def test_what_cannot_be_asked_for_is_refused(clerk, more, code):
    assert code_of(asked, clerk, **more) == code
    assert not PurchaseRequest.objects.exists()


def test_what_has_ended_says_how(clerk):
    one, other = asked(clerk, quantity=1), asked(clerk)
    noted(clerk, one, "received", quantity=1)
    noted(clerk, other, "withdrawn", words="Bought by the pool.")

    for ended in (one, other):
        assert code_of(noted, clerk, ended, "received", quantity=1) == "request_ended"
    assert code_of(asked, build.a_person("technician")) == "not_permitted"


def test_by_page_a_request_begins_from_the_list_and_is_noted(client, clerk):
    client.force_login(clerk)
    address = reverse("equipment:stores_buying")
    begun = client.get(address, {"part_number": "HS-1", "quantity": "2", "why": "Short."})
    assert 'value="HS-1"' in begun.content.decode()

    client.post(
        address, {"act_id": uuid4(), "part_number": "HS-1", "quantity": "2", "why": "Short."}
    )
    one = PurchaseRequest.objects.get()
    step = reverse("equipment:stores_purchase", args=[one.pk])
    wrong = client.post(step, {"act_id": uuid4(), "sort": "received", "quantity": "9"})
    assert wrong.status_code == 422 and "2 are not received yet" in wrong.content.decode()
    client.post(step, {"act_id": uuid4(), "sort": "received", "quantity": "2"})
    assert PurchaseStep.objects.get().quantity == 2
