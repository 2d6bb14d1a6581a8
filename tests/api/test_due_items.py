from __future__ import annotations

import base64
import json

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import Unit
from scheduling.models import Amount, Clock

from .world import AT, a_world

DUE = "/api/v1/due-items"


@pytest.fixture
def world(db):
    """The slide on the aircraft, with an overhaul every 36 months, last done on 26 Feb 2024."""
    world = a_world()
    clock = Clock.objects.create(
        limit=world.overhaul, seq=1, counts_from="last_done", measure="months"
    )
    Amount.objects.create(clock=clock, seq=1, value=36)
    return world


@pytest.fixture
def on_aircraft(controller, world):
    movement = {
        "unit": world.slide.pk,
        "sort": "installed",
        "place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"},
        "happened_on": "2024-03-03",
    }
    done = {
        "act_id": "7d3a1f0e-1f1d-4d53-9a7e-0e8a5b2f7c21",
        "work": "overhaul",
        "unit": world.slide.pk,
        "done_on": "2024-02-26",
        "shop_released_on": "2024-02-26",
        "released_on": "2024-02-26",
        "who": "Harbour Slides",
        "certificate": "HS-20931",
        "result": "passed",
    }
    acts = {"act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a01", "movements": [movement]}
    assert controller.post("/api/v1/movements", acts, format="json").status_code == 201
    assert controller.post("/api/v1/works-done", done, format="json").status_code == 201
    return world


def rows_of(client, **query):
    answer = client.get(DUE, {"as_of": "2026-12-01", **query})
    assert answer.status_code == 200, answer.content
    return answer.json()["results"]


def test_a_due_item_says_when_and_where(controller, on_aircraft):
    rows = [row for row in rows_of(controller) if row["limit"].startswith("SL-OH")]

    assert [(row["registration"], row["position"], row["due_on"]) for row in rows] == [
        ("Q-AVEN", "D1L-SLIDE", "2027-02-26")
    ]


def test_the_list_of_a_unit_is_its_own(controller, on_aircraft):
    address = f"/api/v1/units/{on_aircraft.slide.pk}/due-items?as_of=2026-12-01"

    rows = controller.get(address).json()["results"]

    assert rows and {row["serial_number"] for row in rows} == {"A00731"}


def test_a_due_item_explains_itself(controller, on_aircraft):
    [row] = [row for row in rows_of(controller) if row["due_on"] == "2027-02-26"]

    why = controller.get(f"{DUE}/{row['id']}/explanation?as_of=2026-12-01").json()

    assert why["item"]["due_on"] == "2027-02-26"
    assert any("36" in step for step in why["steps"])
    assert why["document"]


def test_the_band_narrows_and_the_counts_stay(controller, on_aircraft):
    everything = controller.get(DUE, {"as_of": "2028-01-01"}).json()

    overdue = controller.get(DUE, {"as_of": "2028-01-01", "band": "overdue"}).json()

    assert overdue["results"] and all(row["band"] == "overdue" for row in overdue["results"])
    assert overdue["counts"] == everything["counts"]


def test_pages_follow_each_other(controller, on_aircraft):
    whole = [row["id"] for row in rows_of(controller)]

    first = controller.get(DUE, {"as_of": "2026-12-01", "limit": 1}).json()
    ids = [row["id"] for row in first["results"]]
    address = first["next"]
    while address:
        answer = controller.get(address).json()
        ids += [row["id"] for row in answer["results"]]
        address = answer["next"]

    assert ids == whole and len(ids) > 1


@pytest.mark.parametrize(
    ("query", "status", "field"),
    [
        ("station=ZZZ", 422, "station"),
        ("aircraft=Q-NONE", 422, "aircraft"),
        ("kind=zzz", 422, "kind"),
        ("work=zzz", 422, "work"),
        ("band=late", 400, "band"),
        ("sort=colour", 400, "sort"),
        ("as_of=3/4/27", 400, "as_of"),
        ("until_on=tomorrow", 400, "until_on"),
        ("is_descending=yes", 400, "is_descending"),
        ("regn=Q-AVEN", 400, "regn"),
    ],
)
def test_a_filter_that_means_nothing_is_refused_at_its_name(
    controller, world, query, status, field
):
    answer = controller.get(f"{DUE}?{query}")

    assert answer.status_code == status
    assert [error["field"] for error in answer.json()["errors"]] == [field]


def made_up(*key):
    text = json.dumps(["urgency", *key])
    return "n" + base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


@pytest.mark.parametrize(
    "cursor",
    [
        "abc",
        "n",
        "é",
        "n" + "A" * 1000,
        made_up(1),
        made_up(1, 2, 3, 4),
        made_up(10**30, 10**30, 10**30),
        made_up(0, 2**31, 0),
        made_up(-(10**30), 0, 0),
        made_up("a", "b", "c"),
        made_up(True, None, []),
    ],
)
@pytest.mark.parametrize("day", ["2026-12-01", ""])
def test_a_cursor_that_was_made_up_is_refused(controller, on_aircraft, cursor, day):
    answer = controller.get(DUE, {"cursor": cursor, **({"as_of": day} if day else {})})

    assert answer.status_code in {200, 400, 422}
    assert answer.status_code == 200 or answer.json()["detail"].endswith(".")


@pytest.mark.parametrize("item", [0, 1, 2**63, 10**30])
def test_an_unknown_due_item_is_not_found(controller, world, item):
    answer = controller.get(f"{DUE}/{item}/explanation")

    assert (answer.status_code, answer.json()["code"]) == (404, "unknown_due_item")


@pytest.mark.parametrize("day", ["1950-01-01", "2150-12-31"])
def test_the_list_can_be_asked_for_the_ends_of_time(controller, on_aircraft, day):
    assert controller.get(DUE, {"as_of": day}).status_code == 200


def test_a_due_list_asks_as_often_for_many_rows_as_for_few(controller, on_aircraft):
    on_aircraft.programme.govern_spares = True
    on_aircraft.programme.save(update_fields=["govern_spares"])
    receipts = [
        {
            "unit": spare_of(on_aircraft, number).pk,
            "sort": "received",
            "place": {"sort": "store", "station": "LYD"},
            "happened_on": "2024-01-10",
        }
        for number in range(20)
    ]
    act = {"act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a09", "movements": receipts}
    assert controller.post("/api/v1/movements", act, format="json").status_code == 201

    rows_of(controller)  # what is asked once and remembered
    asked = []
    for limit in (10, 40):
        with CaptureQueriesContext(connection) as queries:
            assert len(rows_of(controller, limit=limit)) == limit
        asked.append(len(queries))

    assert asked[0] == asked[1] <= 40


def spare_of(world, number):
    return Unit.objects.create(
        original_part=world.slide.original_part,
        part_number=world.slide.part_number,
        serial_number=f"S{number}",
        recorded_at=AT,
    )
