from __future__ import annotations

import uuid

import pytest

from equipment.models import Certificate, LifeStatement, Sighting, Title

from .world import a_world

STATEMENTS, CERTIFICATES, TITLES, SIGHTINGS = (
    f"/api/v1/{name}" for name in ("life-statements", "certificates", "titles", "sightings")
)


@pytest.fixture
def world(db):
    return a_world()


def post(client, address, body):
    return client.post(address, body, format="json")


def statement(world, **changes):
    return {
        "unit": world.slide.pk,
        "measure": "FH",
        "stated_on": "2023-11-20",
        "total": 512400,
        "source": "HS-20931",
        "quality": "certificate",
        **changes,
    }


def certificate(world, **changes):
    return {
        "unit": world.slide.pk,
        "form": "Release certificate",
        "tracking_number": "HS-20931",
        "issued_on": "2023-11-20",
        "issuer": "Harbour Slides",
        "status": "overhauled",
        **changes,
    }


def title(world, **changes):
    return {
        "unit": world.slide.pk,
        "sort": "owned",
        "owner": "Operator",
        "from_on": "2023-11-20",
        **changes,
    }


def sighting(world, **changes):
    return {
        "act_id": str(uuid.uuid4()),
        "happened_at": "2024-03-03T05:40:00Z",
        "place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"},
        "serial_number_read": "A00713",
        **changes,
    }


@pytest.mark.parametrize(
    ("address", "body", "model"),
    [
        (STATEMENTS, statement, LifeStatement),
        (CERTIFICATES, certificate, Certificate),
        (TITLES, title, Title),
        (SIGHTINGS, sighting, Sighting),
    ],
    ids=["life statement", "certificate", "title", "sighting"],
)
def test_what_is_said_is_recorded_once(controller, world, address, body, model):
    sent, before = body(world), model.objects.count()

    answers = [post(controller, address, sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200], answers[-1].content
    assert answers[0].json() == answers[1].json()
    assert model.objects.count() == before + 1


@pytest.mark.parametrize(
    ("address", "first", "then", "field", "code"),
    [
        (STATEMENTS, statement, {"total": 1}, "total", "statement_stands"),
        (STATEMENTS, statement, {"corrects": 99}, "corrects", "corrects_another"),
        (
            CERTIFICATES,
            certificate,
            {"status": "tested"},
            "tracking_number",
            "certificate_on_record",
        ),
        (TITLES, title, {"owner": "Another"}, "from_on", "title_on_record"),
    ],
)
def test_what_contradicts_a_paper_is_refused_at_its_field(
    controller, world, address, first, then, field, code
):
    post(controller, address, first(world))

    answer = post(controller, address, first(world, **then))

    assert answer.status_code == 422
    assert [(e["field"], e["code"]) for e in answer.json()["errors"]] == [(field, code)]


def test_a_statement_is_corrected_by_one_that_names_it(controller, world):
    wrong = post(controller, STATEMENTS, statement(world)).json()["id"]
    right = statement(world, total=512000, corrects=wrong)

    answers = [post(controller, STATEMENTS, right) for _ in range(2)]
    other = post(controller, STATEMENTS, statement(world, total=5, corrects=wrong))

    assert [answer.status_code for answer in answers] == [201, 200]
    assert other.json()["code"] == "already_corrected"


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"serial_number_read": ""}, "nothing_read"),
        ({"happened_at": "2149-01-01T00:00:00Z"}, "in_the_future"),
        ({"reconciles": 99}, "sighting_not_open"),
    ],
)
def test_a_sighting_that_says_nothing_is_refused(controller, world, changes, code):
    answer = post(controller, SIGHTINGS, sighting(world, **changes))

    assert (answer.status_code, answer.json()["code"]) == (422, code)


def test_a_sighting_is_settled_once(controller, world):
    seen = post(controller, SIGHTINGS, sighting(world)).json()["id"]

    settled = post(controller, SIGHTINGS, sighting(world, reconciles=seen))
    again = post(controller, SIGHTINGS, sighting(world, reconciles=seen))

    assert settled.status_code == 201
    assert again.json()["code"] == "sighting_not_open"
    listed = {each["id"]: each for each in controller.get(SIGHTINGS).json()["results"]}
    assert listed[seen]["reconciled_by"] == settled.json()["id"]


def test_a_sighting_moves_nothing(controller, world):
    before = controller.get(f"/api/v1/units/{world.slide.pk}").json()["place"]

    post(controller, SIGHTINGS, sighting(world, unit=world.slide.pk))

    assert controller.get(f"/api/v1/units/{world.slide.pk}").json()["place"] == before
