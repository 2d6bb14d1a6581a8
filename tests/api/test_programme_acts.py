from __future__ import annotations

import uuid

import pytest

from scheduling.models import Disposition, Extension, WorkDone

from .world import a_world

WORKS, EXTENSIONS, DISPOSITIONS = "/api/v1/works-done", "/api/v1/extensions", "/api/v1/dispositions"


@pytest.fixture
def world(db):
    return a_world()


def post(client, address, body):
    return client.post(address, body, format="json")


def work_on(world, **changes):
    return {
        "act_id": str(uuid.uuid4()),
        "work": "overhaul",
        "unit": world.slide.pk,
        "done_on": "2024-02-26",
        "who": "Harbour Slides",
        "authorisation": "Q-145-007",
        "document": "WO 7",
        "result": "passed",
        **changes,
    }


def extension_of(world, **changes):
    return {
        "programme": "MP-1",
        "limit": "SL-OH",
        "number": "EXT-2027-004",
        "granted_on": "2027-03-03",
        "unit": world.slide.pk,
        "days": 14,
        "document": "MP-1 chapter 1.6",
        "approved_by": "C. Marsh",
        **changes,
    }


def disposition_of(world, **changes):
    return {
        "programme": "MP-1",
        "limit": "AD-2027-01-A",
        "revision": "1",
        "unit": world.slide.pk,
        "sort": "not_applicable",
        "on": "2027-03-03",
        "reason": "Serial number is not listed.",
        **changes,
    }


def test_a_work_is_recorded_once(controller, world):
    body = work_on(world)

    answers = [post(controller, WORKS, body) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json() == answers[1].json()
    assert WorkDone.objects.count() == 1


def test_a_month_alone_is_kept_as_a_month(controller, world):
    answer = post(controller, WORKS, work_on(world, done_on="2024-02"))

    assert (answer.json()["done_on"], answer.json()["precision"]) == ("2024-02-01", "month")


def test_a_work_on_a_position_names_it_by_aircraft_and_code(controller, world):
    body = work_on(world, unit=None, aircraft="q-aven", position="D1L-SLIDE")

    assert post(controller, WORKS, body).json()["position"] == world.position.pk


@pytest.mark.parametrize(
    ("changes", "status", "field", "code"),
    [
        ({"unit": 99999}, 400, "unit", "unknown_unit"),
        ({"unit": 2**63}, 400, "unit", "too_large"),
        ({"unit": None}, 422, "unit", "work_on_no_one_subject"),
        ({"aircraft": "Q-AVEN"}, 422, "unit", "work_on_no_one_subject"),
        ({"aircraft": "Q-NONE"}, 400, "aircraft", "unknown_aircraft"),
        ({"position": "D1L-SLIDE"}, 400, "position", "unknown_position"),
        ({"work": "paint"}, 400, "work", "unknown_work"),
        ({"done_on": "2026-13"}, 400, "done_on", "invalid"),
        ({"done_on": "2149-01-01"}, 422, "done_on", "work_in_future"),
        ({"released_on": "2024-02-01"}, 422, "released_on", "release_before_work"),
        ({"total_minutes": "12,345"}, 400, "total_minutes", "invalid"),
        ({"corrects": 5}, 422, "corrects", "corrects_another"),
    ],
)
def test_a_work_that_cannot_be_is_refused_at_its_field(
    controller, world, changes, status, field, code
):
    answer = post(controller, WORKS, work_on(world, **changes))

    assert answer.status_code == status
    assert [(e["field"], e["code"]) for e in answer.json()["errors"]] == [(field, code)]
    assert not WorkDone.objects.exists()


def test_an_extension_is_recorded_once_by_its_number(controller, world):
    answers = [post(controller, EXTENSIONS, extension_of(world)) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert Extension.objects.count() == 1


def test_a_number_used_for_another_extension_is_refused(controller, world):
    post(controller, EXTENSIONS, extension_of(world))

    answer = post(controller, EXTENSIONS, extension_of(world, days=15))

    assert (answer.status_code, answer.json()["code"]) == (422, "extension_number_used")


def test_an_extension_beyond_what_the_limit_allows_is_refused(controller, world):
    answer = post(controller, EXTENSIONS, extension_of(world, days=31))

    assert (answer.status_code, answer.json()["code"]) == (422, "extension_too_far")
    assert answer.json()["errors"][0]["field"] == "days"


def test_a_disposition_is_recorded_once_a_day(controller, world):
    answers = [post(controller, DISPOSITIONS, disposition_of(world)) for _ in range(2)]
    other = post(controller, DISPOSITIONS, disposition_of(world, sort="open"))

    assert [answer.status_code for answer in answers] == [201, 200]
    assert other.json()["code"] == "disposition_recorded"
    assert Disposition.objects.count() == 1


def test_a_disposition_of_an_unknown_paragraph_is_refused(controller, world):
    answer = post(controller, DISPOSITIONS, disposition_of(world, revision="9"))

    assert answer.json()["errors"][0]["code"] == "unknown_limit"
