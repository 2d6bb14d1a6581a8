"""What must be on board, through sheets, page and API (published-facts section 5: 14 CFR 121.309, 121.339)."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.complement.acts.cabins import NewCabin, state_cabin
from equipment.complement.reads import complement_of
from equipment.complement.rule import CabinFacts, Carried, RuleLine, number_for, requirements
from equipment.models import Cabin, ComplementRule
from fleet.house.refusals import Refused
from tests import builders as build

NOW = build.instant("2027-06-01 12:00")
# 121.309(c)(5), by passenger seats.
EXTINGUISHERS = [(7, 1), (31, 2), (61, 3), (201, 4), (301, 5), (401, 6), (501, 7), (601, 8)]
# 121.309(f): more than 60 and fewer than 100 -> 1; more than 99 -> 2.
MEGAPHONES = [(61, 1), (100, 2)]


def lines(table, kind="EXT", document="121.309(c)(5)"):
    return [RuleLine(kind, "seats", document, seats, number) for seats, number in table]


@pytest.mark.parametrize(
    ("seats", "number"),
    [
        (6, 0),
        (7, 1),
        (30, 1),
        (31, 2),
        (60, 2),
        (61, 3),
        (200, 3),
        (201, 4),
        (300, 4),
        (301, 5),
        (601, 8),
    ],
)
def test_eq_01_extinguishers_by_passenger_seats(seats, number):
    assert number_for(seats, lines(EXTINGUISHERS)) == number


@pytest.mark.parametrize(("seats", "number"), [(60, 0), (61, 1), (99, 1), (100, 2)])
def test_megaphones_by_passenger_seats(seats, number):
    assert number_for(seats, lines(MEGAPHONES)) == number


RAFTS = [RuleLine("RAFT", "rafts", "121.339(a)(2)", only_overwater=True)]


@pytest.mark.parametrize(
    ("rafts", "short"),
    [
        ([56, 56, 56, 56], ""),  # 168 without the largest
        ([46, 46, 56, 56], "room for 20 missing"),  # 148
        ([56, 56, 56], "room for 56 missing"),
        ([], "room for 168 missing"),
    ],
)
def test_rafts_hold_everybody_with_the_largest_lost(rafts, short):
    # 121.339(a)(2): "in the event of a loss of one raft of the largest rated capacity".
    there = {"RAFT": [Carried(1, carries) for carries in rafts]}

    (asked,) = requirements(CabinFacts(160, 168, is_overwater=True), RAFTS, there)

    assert asked.short == short
    assert requirements(CabinFacts(160, 168, is_overwater=False), RAFTS, there) == []


def test_of_a_raft_whose_rating_is_not_on_record_nobody_is_sure():
    there = {"RAFT": [Carried(1, 56), Carried(1, None), Carried(1, 56)]}

    (asked,) = requirements(CabinFacts(50, 60, is_overwater=True), RAFTS, there)

    assert asked.short == "room for 4 missing; how many persons 1 carry is not on record"


def test_a_vest_for_each_occupant():
    # 121.339(a)(1): "a life preserver … for each occupant".
    vest = [RuleLine("VEST", "occupants", "121.339(a)(1)", only_overwater=True)]
    cabin = CabinFacts(10, 12, is_overwater=True)

    (met,) = requirements(cabin, vest, {"VEST": [Carried(6), Carried(6)]})
    (short,) = requirements(cabin, vest, {"VEST": [Carried(6), Carried(5)]})

    assert (met.short, short.short) == ("", "1 short")


# --- through the product ----------------------------------------------------------------------


@pytest.fixture
def aircraft(db):
    """An aircraft with one extinguisher at its one position for two."""
    kind = build.a_kind("EXT")
    aircraft = build.an_aircraft(of_type=build.an_aircraft_type("EXT", kind=kind, capacity=2))
    unit = build.a_unit(build.a_part(kind=kind))
    build.installed(unit, build.at_position(aircraft, "EXT"), "2027-03-01")
    for seats, number in EXTINGUISHERS:
        ComplementRule.objects.create(
            document="14 CFR 121.309(c)(5)",
            kind=kind,
            by="seats",
            seats_from=seats,
            number=number,
            recorded_at=NOW,
        )
    return aircraft


def stated(aircraft, by="controller", **more):
    plain = {
        "from_on": build.day("2027-01-01"),
        "seats": 48,
        "occupants": 52,
        "document": "LOPA 1",
    }
    cabin = NewCabin(aircraft.pk, **{**plain, **more})
    return state_cabin(by=build.a_person(by), cabin=cabin, act_id=uuid4(), at=NOW)


def page_of(client, aircraft, role="controller"):
    with time_machine.travel(NOW, tick=False):
        client.force_login(build.a_person(role))
        address = reverse("fleet:aircraft", args=[aircraft.registration])
        return " ".join(client.get(address).content.decode().split())


@pytest.mark.django_db
def test_what_is_short_is_shown_on_the_aircraft(aircraft, client):
    assert "Its cabin is not stated" in page_of(client, aircraft)
    stated(aircraft)

    page = page_of(client, aircraft)

    assert "The required complement is not met:" in page
    assert "1 short" in page
    assert "2 for 48 passenger seats" in page
    spare = build.a_unit(aircraft.positions.get().type_position and _part(aircraft))
    build.installed(spare, build.at_position(aircraft, "EXT"), "2027-04-01")
    assert "is not met" not in page_of(client, aircraft)


def _part(aircraft):
    return build.a_part(kind=aircraft.positions.get().type_position.kind)


@pytest.mark.django_db
def test_a_layout_of_later_asks_from_its_own_day(aircraft):
    stated(aircraft, seats=30, occupants=33)
    stated(aircraft, from_on=build.day("2027-08-01"))

    today, then = (complement_of(aircraft, build.day(x)) for x in ("2027-06-01", "2027-08-01"))

    assert (len(today.short), len(then.short)) == (0, 1)


@pytest.mark.django_db
def test_a_cabin_is_stated_on_its_page_and_the_aircraft_says_so(aircraft, client):
    client.force_login(build.a_person("controller"))
    address = reverse("equipment:aircraft_cabin", args=[aircraft.registration])
    sent = {"from_on": "2027-05-01", "seats": "48", "occupants": "47", "document": "LOPA 1"}

    refused = client.post(address, sent)
    assert refused.status_code == 422
    assert "at least as many people as seats" in refused.content.decode()

    assert client.post(address, {**sent, "occupants": "52"}).status_code == 302
    assert Cabin.objects.get().occupants == 52


@pytest.mark.django_db
def test_the_api_takes_a_cabin_and_answers_what_is_short(aircraft, client):
    sent = {
        "act_id": str(uuid4()),
        "from_on": "2027-05-01",
        "seats": 48,
        "occupants": 52,
        "document": "LOPA 1",
    }
    base = f"/api/v1/aircraft/{aircraft.registration}"
    with time_machine.travel(NOW, tick=False):
        client.force_login(build.a_person("controller"))
        made = client.post(f"{base}/cabins", sent, content_type="application/json")
        told = client.get(f"{base}/complement").json()

    assert made.status_code == 201, made.content
    assert [each["short"] for each in told["requirements"]] == ["1 short"]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"occupants": 40}, "fewer_people_than_seats"),
        ({"document": " "}, "missing"),
        ({}, "cabin_on_record"),
    ],
)
def test_a_cabin_that_cannot_be_is_refused(aircraft, more, code):
    stated(aircraft)

    with pytest.raises(Refused) as refused:
        stated(aircraft, **more)

    assert code in {each.code for each in refused.value.refusals}
