"""What is done beside a swap, through the API: each act once, each bad input with a sentence at its field."""

from __future__ import annotations

import base64
from uuid import uuid4

import pytest

from equipment.availability.acts.fillings import RECORD_DISCHARGE, RECORD_FILLING
from equipment.availability.acts.tags import TAG_UNIT
from equipment.findings.acts.open_items import CLOSE_ITEM, OPEN_ITEM
from equipment.findings.acts.walk_rounds import SEE_POSITION, START_WALK_ROUND
from equipment.models import Attachment, Filling, OpenItem, SwapEnd, UnitTag
from equipment.swaps.acts.attachments import ATTACH_FILE
from equipment.swaps.doors import card_examples

from .world import a_world, about

pytestmark = pytest.mark.django_db
ODD = ["", "many", "-3", "1e999", "1,234", "3 furlongs", "1.2.3", "²"]


@pytest.fixture
def world(db):
    return a_world()


@pytest.fixture
def sent(program, world):
    """``sent(role, door, example, **changes)`` is the answer of a door to its example, changed."""

    def send(role, door, example, **changes):
        body = about(world, {**example, "act_id": str(uuid4()), **changes})
        return program(role).post(f"/api/v1/{door}", body, format="json")

    return send


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("name", ["pressure", "temperature"])
def test_a_reading_that_cannot_be_is_refused_with_a_sentence_at_its_field(sent, name, odd):
    answer = sent("stores", "fillings", RECORD_FILLING.example, **{name: odd})

    may_be_below_nought = name == "temperature" and odd == "-3"
    assert answer.status_code == (201 if may_be_below_nought else 400)
    if not may_be_below_nought:
        [error] = answer.json()["errors"]
        assert error["field"] == name
        assert error["message"].endswith((".", "?"))
        assert not Filling.objects.exists()


@pytest.mark.parametrize("raw", ["1e999", "-1e999", "NaN", "true", "[]", "{}"])
def test_a_number_that_is_none_is_no_fault(program, world, raw):
    body = f'{{"act_id": "{uuid4()}", "unit": {world.slide.pk}, "done_on": "2024-03-03", "pressure": {raw}}}'

    answer = program("stores").post("/api/v1/fillings", body, content_type="application/json")

    assert answer.status_code == 400


@pytest.mark.parametrize(
    ("pressure", "psig"), [("206,8 bar", 2999.4), ("3000", 3000), (3000, 3000), (2999.5, 2999.5)]
)
def test_a_pressure_is_read_with_comma_point_and_unit(sent, pressure, psig):
    answer = sent("stores", "fillings", RECORD_FILLING.example, pressure=pressure)

    assert answer.json()["psig"] == pytest.approx(psig, abs=0.1)


def test_the_same_act_again_is_answered_as_done_before(program, world):
    body = about(world, TAG_UNIT.example)
    first, again = (program("stores").post("/api/v1/tags", body, format="json") for _ in "12")

    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json() == again.json()
    assert UnitTag.objects.count() == 1


def test_a_deployed_slide_is_serviceable_only_when_the_shop_has_had_it(sent):
    sent("technician", "discharges", RECORD_DISCHARGE.example)

    answer = sent("stores", "tags", TAG_UNIT.example, sort="serviceable", why="removed_good")

    assert (answer.status_code, answer.json()["code"]) == (422, "shop_must_see_it")


def test_a_picture_of_nine_megabytes_is_kept_and_of_eleven_refused(sent):
    picture = b"\xff\xd8\xff" + bytes(9 * 2**20)
    kept, refused = (
        sent(
            "technician",
            "attachments",
            ATTACH_FILE.example,
            file={
                "name": "a.jpg",
                "content": base64.b64encode(each).decode(),
            },
        )
        for each in (picture, picture + bytes(2 * 2**20))
    )

    assert (kept.status_code, refused.status_code) == (201, 422)
    assert refused.json()["code"] == "file_too_large"
    assert Attachment.objects.get().media_type == "image/jpeg"


@pytest.mark.parametrize("content", [b"MZ\x90\x00", b"\x7fELF", b"#!/bin/sh", b"<html>", b""])
def test_a_program_is_refused_whatever_its_name(sent, content):
    file = {"name": "photo.jpg", "content": base64.b64encode(content).decode()}

    answer = sent("technician", "attachments", ATTACH_FILE.example, file=file)

    assert answer.status_code in {400, 422}
    assert not Attachment.objects.exists()


def test_what_is_no_base64_is_refused_at_its_field(sent):
    answer = sent(
        "technician",
        "attachments",
        ATTACH_FILE.example,
        file={"name": "a", "content": "?"},
    )

    assert answer.json()["errors"][0]["code"] == "not_base64"


def test_open_items_are_listed_until_they_are_closed(program, world, sent):
    made = sent("controller", "open-items", OPEN_ITEM.example).json()
    sent("controller", f"open-items/{made['id']}/closing", CLOSE_ITEM.example)

    listed = program("auditor").get("/api/v1/open-items?is_open=true").json()["results"]

    assert made["id"] not in {each["id"] for each in listed}
    assert OpenItem.objects.get(pk=made["id"]).closed.words == "Fitted again, swap 88."


def test_what_differs_from_the_record_is_answered_and_listed(program, world, sent):
    walk = sent("technician", "walk-rounds", START_WALK_ROUND.example).json()

    seen = sent("technician", f"walk-rounds/{walk['id']}/sightings", SEE_POSITION.example).json()

    listed = program("auditor").get("/api/v1/discrepancies?is_open=true").json()["results"]
    assert seen["differences"]
    assert {each["id"] for each in seen["differences"]} <= {each["id"] for each in listed}


def test_a_card_with_nothing_in_its_way_is_released_at_once(sent):
    answer = sent("controller", "swaps/transcribed", card_examples.CARD_SENT)

    assert answer.status_code == 201
    assert answer.json()["is_released"] == (answer.json()["obstacles"] == [])
    assert SwapEnd.objects.filter(sort="released").count() == answer.json()["is_released"]
