"""The allocation's pages and doors, asked well and badly."""

from __future__ import annotations

from copy import deepcopy
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from rest_framework.test import APIClient

from equipment.models import Reservation
from scheduling.allocation.doors import allocation as api_allocation
from scheduling.allocation.pages import allocation as views_allocation
from scheduling.allocation.pages import plan as views_allocation_plan
from tests import builders as build

from . import world as here

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def a_world(one_stage):
    return here.a_world()


@pytest.fixture
def world(a_world, db, monkeypatch):
    # Pages and doors ask what day it is: the world's.
    for module in (views_allocation, views_allocation_plan, api_allocation):
        monkeypatch.setattr(module, "today", lambda: here.DAY)
    return deepcopy(a_world)


def signed_in(by, kind=Client):
    client = kind()
    client.force_login(by)
    return client


def shown(by, address="/allocation/", **query):
    response = signed_in(by).get(address, query)
    assert response.status_code == 200
    return response.content.decode()


def sent(by, need, unit, changes=()):
    body = {"need": need.key, "unit": unit.pk, "sort": "accept", "act_id": uuid4(), **dict(changes)}
    return signed_in(by).post(reverse("scheduling:allocation_decide"), body, follow=True)


def test_an_empty_house_says_what_would_be_here(db):
    by = build.a_person("stores")

    for address in ("/allocation/", "/shortage/", "/float/"):
        assert "No proposal has been made yet" in shown(by, address)


def test_the_proposal_can_be_made_from_the_page(world):
    world.a_spare()
    here.on.reckon()

    signed_in(world.clerk).post(reverse("scheduling:allocation_renew"))

    assert "1</b> <span>short" in shown(world.clerk)


def test_needs_and_the_unit_proposed_stand_side_by_side(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    page = shown(world.clerk, off=need.unit_off_id)

    assert need.key in page
    assert f"HS-100 S/N {spare.serial_number}" in page
    assert "If you forbid it" in page


def test_a_decision_of_the_page_is_taken_and_said(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    page = sent(world.clerk, need, spare).content.decode()

    assert Reservation.objects.get().unit_id == spare.pk
    assert f"HS-100 S/N {spare.serial_number} is set aside for {need.key}." in page


def test_a_refusal_is_said_on_the_page_of_the_need(world):
    bare = world.a_spare(has_certificate=False)
    need = here.need_at(world.propose(), world.aircraft[0])

    page = sent(world.clerk, need, bare).content.decode()

    assert "has no release certificate on record" in page
    assert not Reservation.objects.exists()


@pytest.mark.parametrize(
    "query",
    [
        {"off": "x"},
        {"off": "9" * 40},
        {"take": "-1", "ask": "%00"},
        {"ask": "a\x00b"},
        {"station": "NOWHERE"},
        {"kind": "?"},
        {"page": "0"},
        {"page": "ten"},
        {"state": "odd"},
        {"text": "\x00"},
        {"text": "x" * 99},
        {"off": "²"},
        {"page": "900"},
    ],
)
def test_a_made_up_query_is_no_fault(world, query):
    world.a_spare()
    world.propose()

    shown(world.clerk, **query)


@pytest.mark.parametrize(
    "changes",
    [
        {"unit": "x"},
        {"sort": "odd"},
        {"act_id": "1"},
        {"need": ""},
        {"need": "\x00"},
        {"unit": 2**62},
    ],
)
def test_a_made_up_decision_decides_nothing(world, changes):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    assert sent(world.clerk, need, spare, changes).status_code == 200
    assert not Reservation.objects.exists()


def test_a_decision_never_leads_to_another_site(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    response = sent(world.clerk, need, spare, {"back": "//elsewhere.example/"})

    assert response.redirect_chain[0][0] == "/allocation/"


def test_a_reader_sees_the_pages_and_no_button(world):
    world.a_spare()
    world.propose()

    page = shown(build.a_person("auditor"))

    assert "data-key" not in page
    assert "proposed" in page


def test_who_asks_about_a_unit_is_told_every_reason(world):
    bare = world.a_spare(has_certificate=False)
    need = here.need_at(world.propose(), world.aircraft[0])

    page = shown(world.clerk, off=need.unit_off_id, ask=bare.serial_number)
    assert "may not go there" in page
    assert "no release certificate" in page
    assert "No unit “ZZZ”" in shown(world.clerk, off=need.unit_off_id, ask="ZZZ")


def test_shortage_and_float_are_drawn_and_said(world):
    world.propose()

    shortage, spares = shown(world.clerk, "/shortage/"), shown(world.clerk, "/float/")

    assert "2 of 2 needs are short." in shortage
    assert "short 2 in Jul 2027" in shortage
    assert "On Mon 5 Jul 2027 all of the filled ones are out at once" in spares


# --- by program -------------------------------------------------------------------------------


def asked(by, name, status=200, **query):
    response = signed_in(by, APIClient).get(f"/api/v1/allocation/{name}", query)
    assert response.status_code == status, response.content
    return response.json()


def ruled(by, name, need, unit, changes=()):
    body = {"need": need.key, "unit": unit.pk, "act_id": str(uuid4()), **dict(changes)}
    return signed_in(by, APIClient).post(f"/api/v1/allocation/{name}", body, format="json")


def test_a_program_reads_what_the_pages_show(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    needs = asked(world.clerk, "needs")
    assert needs["counts"] == {"short": 1, "proposed": 1, "set_aside": 0}
    assert [one["unit"] for one in needs["results"] if one["unit"]] == [spare.pk]
    assert asked(world.clerk, "proposal")["short"] == 1
    why = asked(world.clerk, "why", need=need.key, unit=spare.pk)
    assert why["units"][0]["may"] is True
    assert len(asked(world.clerk, "why", need=need.key)["units"]) == 3
    months = asked(world.clerk, "shortage")["results"][0]["months"]
    assert sum(month["short"] for month in months) == 1
    assert months[0]["month"] == here.DAY.replace(day=1).isoformat()
    assert asked(world.clerk, "float")["planned"][0]["spares"] == 2


def test_a_program_decides_once_and_meets_the_same_codes(world):
    spare, bare, act_id = world.a_spare(), world.a_spare(has_certificate=False), str(uuid4())
    need = here.need_at(world.propose(), world.aircraft[0])

    answers = [ruled(world.clerk, "accept", need, spare, {"act_id": act_id}) for _ in range(2)]
    assert [each.status_code for each in answers] == [201, 200]
    assert answers[0].json() == answers[1].json()
    assert ruled(world.clerk, "forbid", need, spare).json()["code"] == "pairing_set_aside"
    assert ruled(world.clerk, "free", need, spare).status_code == 201
    assert ruled(world.clerk, "accept", need, bare).json()["code"] == "no_certificate"
    assert ruled(build.a_person("technician"), "lock", need, spare).status_code == 403


def test_a_program_that_asks_for_what_is_not_there_is_told(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    assert asked(world.clerk, "why", 404, need="Q-NO D1")["code"] == "unknown_need"
    assert asked(world.clerk, "why", 404, need=need.key, unit=10**6)["code"] == "unit_not_offered"
    assert (
        ruled(world.clerk, "accept", need, spare, {"unit": 10**6}).json()["code"] == "unknown_unit"
    )
