"""The doors of programs: each act once, with the act's own codes."""

from __future__ import annotations

import uuid

import pytest

from equipment.availability.acts.holds import END_HOLD, HOLD_UNITS
from equipment.availability.acts.reservations import reserve_unit
from equipment.models import (
    Fit,
    IncomingInspection,
    ModificationStandard,
    PartNumber,
    Reservation,
    Unit,
    UnitTag,
)
from equipment.stores.acts.bins import STOW_UNIT
from equipment.stores.acts.facts import EXAMPLE_PAPER
from equipment.stores.acts.receiving import RECEIVE
from equipment.stores.acts.returns import RETURN_FROM_SHOP
from equipment.stores.acts.shops import NOTE_PROMISE, SEND_TO_SHOP
from equipment.stores.doors import examples
from fleet.house.pages import today
from fleet.models import User
from scheduling.models import WorkDone
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.api.world import a_world

from .world import certified

pytestmark = pytest.mark.django_db
PASSWORD = "a-long-password-1"


@pytest.fixture
def world(db, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return a_world()


@pytest.fixture
def clerk(program, world):  # noqa: F811
    return program("stores")


def sent(client, door, body, **changes):
    body = {**body, **({"act_id": str(uuid.uuid4())} if "act_id" in body else {}), **changes}
    return client.post(f"/api/v1/stores/{door}", body, format="json")


def code(answer):
    assert answer.headers["content-type"] == "application/problem+json", answer.content
    return answer.json()["code"]


def test_a_unit_is_received_inspected_stowed_sent_and_comes_back(clerk):
    User.objects.create_user("tess", password=PASSWORD, roles=["stores"])

    received = sent(clerk, "receipts", RECEIVE.example)
    unit = received.json()["lines"][0]["unit"]
    inspected = sent(
        clerk,
        "inspections",
        examples.INSPECTION_SENT,
        unit=unit,
        username="tess",
        password=PASSWORD,
    )
    stowed = sent(clerk, "bins", STOW_UNIT.example, unit=unit, bin="R9")
    order = sent(clerk, "orders", SEND_TO_SHOP.example, unit=unit, sent_on=str(today()))
    promise = sent(clerk, "promises", NOTE_PROMISE.example, order=order.json()["id"])
    paper = {**EXAMPLE_PAPER, "tracking_number": "LS-2", "issued_on": str(today())}
    back = sent(
        clerk,
        "returns",
        RETURN_FROM_SHOP.example,
        order=order.json()["id"],
        returned_on=str(today()),
        certificate=paper,
        works=[{"code": "overhaul", "done_on": str(today())}],
    )

    answers = (received, inspected, stowed, order, promise, back)
    assert [answer.status_code for answer in answers] == [201] * 6, [a.content for a in answers]
    assert Unit.objects.get(pk=unit).place.sort == "quarantine"
    assert WorkDone.objects.get(unit=unit).certificate == "LS-2"
    assert IncomingInspection.objects.get().by.username == "tess"


def test_a_return_of_which_a_program_does_not_say_what_became_of_the_unit_is_refused(clerk):
    body = {name: said for name, said in RETURN_FROM_SHOP.example.items() if name != "how"}

    answer = sent(clerk, "returns", body)

    assert answer.status_code == 400
    assert [each["field"] for each in answer.json()["errors"]] == ["how"]


def test_the_same_receipt_again_is_the_same_act(clerk):
    act = str(uuid.uuid4())

    first = sent(clerk, "receipts", RECEIVE.example, act_id=act)
    again = sent(clerk, "receipts", RECEIVE.example, act_id=act)

    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json()["lines"][0]["unit"] == again.json()["lines"][0]["unit"]


def test_a_program_says_of_a_plate_what_the_page_does(clerk, world):
    part = PartNumber.objects.get(number="HS-4410-3")
    ModificationStandard.objects.create(part_number=part, code="B")
    plate = {**LINE, "manufactured_on": "2020-02", "standard": "b", "stated_life_months": 120}

    received = sent(clerk, "receipts", RECEIVE.example, lines=[plate])

    assert received.status_code == 201, received.content
    unit = Unit.objects.get(pk=received.json()["lines"][0]["unit"])
    assert (unit.standard.code, unit.stated_life_months) == ("B", 120)


LINE = RECEIVE.example["lines"][0]
BAD = {
    "near_match": (
        "receipts",
        RECEIVE.example,
        {"lines": [{**LINE, "serial_number": "AOO731", "printed_serial": "AOO731"}]},
    ),
    "received_already": (
        "receipts",
        RECEIVE.example,
        {"lines": [{**LINE, "serial_number": "A00731", "printed_serial": "A00731"}]},
    ),
    "block_10_blank": (
        "receipts",
        RECEIVE.example,
        {"lines": [{**LINE, "printed_serial": ""}]},
    ),
    "certificate_for_another": (
        "receipts",
        RECEIVE.example,
        {"lines": [{**LINE, "printed_serial": "B9"}]},
    ),
    "unknown_station": ("receipts", RECEIVE.example, {"station": "ZZZ"}),
    "credentials_wrong": ("inspections", examples.INSPECTION_SENT, {}),
    "promised_in_the_past": ("orders", SEND_TO_SHOP.example, {"promised_on": "2024-03-01"}),
    "unknown_order": ("returns", RETURN_FROM_SHOP.example, {}),
    "unknown_reservation": ("issues", examples.ISSUE_SENT, {}),
    "missing": ("holds", HOLD_UNITS.example, {"value": ""}),
    "not_permitted": ("hold-ends", END_HOLD.example, {}),
}


@pytest.mark.parametrize(("wanted", "case"), BAD.items(), ids=BAD)
def test_each_refusal_has_the_code_of_its_act(clerk, world, wanted, case):
    door, body, changes = case
    unit = {"unit": world.slide.pk} if "unit" in body else {}

    assert code(sent(clerk, door, body, **unit, **changes)) == wanted


def test_a_unit_that_failed_is_not_issued_and_the_stock_list_says_why(clerk, world):
    certified(world.slide)
    at = build.instant("2027-06-01 12:00")
    User.objects.create(username="c", roles=["stores"])
    kept = reserve_unit(
        by=User.objects.get(username="c"),
        unit_id=world.slide.pk,
        place=world.place.pk,
        need_on=build.day("2027-07-01"),
        act_id=uuid.uuid4(),
        at=at,
    )
    assert Fit.objects.exists()
    UnitTag.objects.create(
        act_id=uuid.uuid4(),
        unit=world.slide,
        sort="unserviceable",
        why="defect",
        tagged_at=build.instant("2024-03-01"),
        recorded_at=at,
        recorded_by=kept.reserved_by,
    )

    assert (
        code(sent(clerk, "issues", {"reservation": kept.pk, "to": "R. Oake"}))
        == "unit_unserviceable"
    )
    rows = clerk.get("/api/v1/stores/stock?station=LYD").json()["results"]
    [row] = [row for row in rows if row["unit"] == world.slide.pk]
    assert row["state"] == "unserviceable"
    assert Reservation.objects.get(pk=kept.pk).issued_at is None
