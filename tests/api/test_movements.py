from __future__ import annotations

import uuid

import pytest
from django.utils import timezone

from equipment.models import Movement, Unit

from .world import a_world

MOVEMENTS = "/api/v1/movements"


@pytest.fixture
def world(db):
    return a_world()


def post(client, address, body):
    return client.post(address, body, format="json")


def installed(world, **changes):
    return {
        "unit": world.slide.pk,
        "sort": "installed",
        "place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"},
        "happened_at": "2024-03-03T14:05:00Z",
        **changes,
    }


def removed(world, **changes):
    return installed(
        world,
        sort="removed",
        place={"sort": "store", "station": "LYD"},
        happened_at="2024-06-03T10:00:00Z",
        **changes,
    )


def act(*movements):
    return {"act_id": str(uuid.uuid4()), "movements": list(movements)}


def test_an_installation_moves_the_unit(controller, world):
    answer = post(controller, MOVEMENTS, act(installed(world)))

    [movement] = answer.json()["movements"]
    unit = controller.get(f"/api/v1/units/{world.slide.pk}").json()
    assert (answer.status_code, movement["is_conforming"]) == (201, True)
    assert (unit["place"]["aircraft"], unit["place"]["position"]) == ("Q-AVEN", "D1L-SLIDE")


def test_an_act_sent_again_is_done_once(controller, world):
    body = act(installed(world))

    answers = [post(controller, MOVEMENTS, body) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json() == answers[1].json()
    assert Movement.objects.filter(unit=world.slide).count() == 2


def test_an_act_id_used_for_another_movement_is_refused(controller, world):
    body = act(installed(world))
    post(controller, MOVEMENTS, body)

    answer = post(controller, MOVEMENTS, {**body, "movements": [removed(world)]})

    assert answer.json()["code"] == "act_id_used"


def test_what_contradicts_the_records_is_asked_about_and_nothing_is_recorded(controller, world):
    before = Movement.objects.count()

    answer = post(controller, MOVEMENTS, act(removed(world)))

    told = [(each["field"], each["code"]) for each in answer.json()["errors"]]
    assert answer.status_code == 422
    assert told[0][1] == "not_installed"
    assert told[0][0].startswith("movements.0")
    assert told[-1] == ("is_confirmed", "confirm_first")
    assert Movement.objects.count() == before


def test_what_conforms_is_not_asked_about(controller, world):
    answer = post(controller, MOVEMENTS, act(installed(world)))

    assert answer.status_code == 201


def test_confirmed_it_is_kept_as_not_conforming_once(controller, world):
    body = act(removed(world))
    post(controller, MOVEMENTS, body)

    answers = [post(controller, MOVEMENTS, body | {"is_confirmed": True}) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    [movement] = answers[0].json()["movements"]
    assert movement["is_conforming"] is False
    assert movement["reasons"][0]["code"] == "not_installed"


def test_a_correction_that_contradicts_the_records_is_asked_about_first(controller, world):
    [kept] = post(controller, MOVEMENTS, act(installed(world))).json()["movements"]
    body = {"act_id": str(uuid.uuid4()), "movement": removed(world)}
    address = f"{MOVEMENTS}/{kept['id']}/correction"

    asked = post(controller, address, body)
    confirmed = post(controller, address, body | {"is_confirmed": True})

    told = asked.json()["errors"]
    assert asked.status_code == 422
    assert (told[-1]["field"], told[-1]["code"]) == ("is_confirmed", "confirm_first")
    assert all(each["field"].startswith("movement") for each in told[:-1])
    assert (confirmed.status_code, confirmed.json()["is_conforming"]) == (201, False)


def test_what_contradicts_the_records_is_kept_as_not_conforming(controller, world):
    answer = post(controller, MOVEMENTS, act(removed(world)) | {"is_confirmed": True})

    [movement] = answer.json()["movements"]
    assert (answer.status_code, movement["is_conforming"]) == (201, False)
    assert movement["reasons"][0]["code"] == "not_installed"


@pytest.mark.parametrize(
    ("changes", "status", "field", "code"),
    [
        ({"unit": 999}, 400, "movements.0.unit", "unknown_unit"),
        ({"sort": "flown"}, 400, "movements.0.sort", "invalid_choice"),
        ({"happened_at": "2149-01-01T00:00:00Z"}, 422, "movements.0.happened_on", "in_the_future"),
        ({"happened_on": "2024-03"}, 400, "movements.0.happened_on", "one_of_two"),
        ({"zone": "Moon/Base"}, 400, "movements.0.zone", "unknown_zone"),
        (
            {"place": {"sort": "store", "station": "LYD"}},
            422,
            "movements.0.place",
            "place_does_not_suit",
        ),
        ({"place": {"sort": "store"}}, 400, "movements.0.place.station", "required"),
        (
            {"place": {"sort": "aircraft", "aircraft": "Q-NONE", "position": "D1L-SLIDE"}},
            400,
            "movements.0.place.aircraft",
            "unknown_aircraft",
        ),
        (
            {"place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D9"}},
            400,
            "movements.0.place.position",
            "unknown_position",
        ),
        ({"aircraft_minutes": "12,345"}, 400, "movements.0.aircraft_minutes", "invalid"),
        ({"aircraft_cycles": 2**62}, 422, "movements.0.aircraft_cycles", "out_of_range"),
    ],
)
def test_what_says_nothing_that_could_be_kept_is_refused_at_its_field(
    controller, world, changes, status, field, code
):
    answer = post(controller, MOVEMENTS, act(installed(world, **changes)))

    assert answer.status_code == status, answer.content
    assert [(e["field"], e["code"]) for e in answer.json()["errors"]] == [(field, code)]
    assert Movement.objects.filter(unit=world.slide).count() == 1


def test_a_movement_is_corrected_and_the_old_one_stays_readable(controller, world):
    [wrong] = post(controller, MOVEMENTS, act(installed(world))).json()["movements"]
    body = {
        "act_id": str(uuid.uuid4()),
        "movement": installed(world, happened_at="2024-03-04T09:00:00Z"),
    }

    answers = [post(controller, f"{MOVEMENTS}/{wrong['id']}/correction", body) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert (
        controller.get(f"{MOVEMENTS}/{wrong['id']}").json()["corrected_by"]
        == answers[0].json()["id"]
    )


def test_a_movement_is_annulled_once(controller, world):
    [wrong] = post(controller, MOVEMENTS, act(installed(world))).json()["movements"]
    body = {"act_id": str(uuid.uuid4()), "reason": "Entered for the wrong aircraft."}

    answers = [post(controller, f"{MOVEMENTS}/{wrong['id']}/annulment", body) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json()["is_annulled"] is True


def test_a_unit_is_entered_once(controller, world):
    body = {"part_number": "hs-4410-3", "serial_number": "b1", "manufactured_on": "2019-02"}

    answers = [post(controller, "/api/v1/units", body) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json()["manufactured_precision"] == "month"
    assert Unit.objects.filter(serial_number="B1").count() == 1


def test_an_unknown_part_number_is_refused_at_its_field(controller, world):
    answer = post(controller, "/api/v1/units", {"part_number": "NONE", "serial_number": "B1"})

    assert (answer.status_code, answer.json()["code"]) == (400, "unknown_part_number")


def test_two_units_that_are_one_are_joined(controller, world):
    body = {"kept": world.slide.pk, "absorbed": world.twin.pk, "reason": "Plate read wrongly."}

    answers = [post(controller, "/api/v1/merges", body) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert controller.get(f"/api/v1/units/{world.twin.pk}").json()["merged_into"] == world.slide.pk


def fitted_on(client, **query):
    rows = client.get("/api/v1/aircraft/Q-AVEN/fitted", query).json()["fitted"]
    return [(row["position"], row["serial_number"]) for row in rows]


def test_what_was_fitted_and_what_the_records_then_said(controller, world):
    before = timezone.now()
    post(controller, MOVEMENTS, act(installed(world)))
    post(controller, MOVEMENTS, act(removed(world)))

    assert fitted_on(controller) == []
    assert fitted_on(controller, at="2024-04-01T00:00:00Z") == [("D1L-SLIDE", "A00731")]
    assert fitted_on(controller, at="2024-03-01T00:00:00Z") == []
    assert fitted_on(controller, at="2024-04-01T00:00:00Z", known_at=before.isoformat()) == []


def test_a_fitted_list_is_asked_in_few_queries(controller, world, django_assert_max_num_queries):
    post(controller, MOVEMENTS, act(installed(world)))

    with django_assert_max_num_queries(5):
        assert len(fitted_on(controller)) == 1


def test_a_correction_that_cannot_be_is_refused_where_it_stands(controller, world):
    body = {
        "act_id": str(uuid.uuid4()),
        "movement": installed(world, place={"sort": "store", "station": "LYD"}),
    }

    answer = post(controller, f"{MOVEMENTS}/{world.received}/correction", body)

    assert [(e["field"], e["code"]) for e in answer.json()["errors"]] == [
        ("movement.place", "place_does_not_suit")
    ]
