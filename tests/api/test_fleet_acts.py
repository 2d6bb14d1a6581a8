from __future__ import annotations

import uuid

import pytest

from fleet.models import Aircraft, Check, UtilisationReading

READINGS, CHECKS = "/api/v1/aircraft/Q-AVEN/readings", "/api/v1/aircraft/Q-AVEN/checks"


@pytest.fixture
def aircraft(tern, station):
    return Aircraft.objects.create(
        registration="Q-AVEN", msn="1042", aircraft_type=tern, station=station
    )


def reading(**changes):
    values = {
        "act_id": str(uuid.uuid4()),
        "measure": "FH",
        "read_on": "2026-03-03",
        "total": 740730,
        "source": "tech log 4711",
    }
    return {name: value for name, value in {**values, **changes}.items() if value is not ...}


def post(client, address, body):
    return client.post(address, body, format="json")


def test_a_reading_is_recorded_at_the_end_of_its_day(controller, aircraft, hours):
    answer = post(controller, READINGS, reading())

    assert answer.status_code == 201
    assert answer.json()["read_at"] == "2026-03-03T23:59:59.999999Z"
    assert answer.json()["recorded_by"] == "program-controller"
    assert UtilisationReading.objects.get().total == 740730


def test_a_reading_sent_again_is_done_once(controller, aircraft, hours):
    body = reading()
    first = post(controller, READINGS, body)

    again = post(controller, READINGS, body)

    assert (first.status_code, again.status_code) == (201, 200)
    assert again.json() == first.json()
    assert UtilisationReading.objects.count() == 1


def test_an_act_id_used_for_something_else_is_refused(controller, aircraft, hours):
    body = reading()
    post(controller, READINGS, body)

    answer = post(controller, READINGS, {**body, "total": 740731})

    assert (answer.status_code, answer.json()["code"]) == (422, "act_id_used")


def test_a_reading_of_a_day_to_come_is_refused(controller, aircraft, hours):
    answer = post(controller, READINGS, reading(read_on="2099-03-04"))

    assert answer.status_code == 422
    assert (answer.json()["errors"][0]["field"], answer.json()["code"]) == (
        "read_at",
        "in_the_future",
    )
    assert not UtilisationReading.objects.exists()


def test_a_reading_that_runs_backwards_is_kept_as_not_conforming(controller, aircraft, hours):
    post(controller, READINGS, reading())

    answer = post(controller, READINGS, reading(read_on="2026-03-04", total=740000))

    assert answer.status_code == 201
    assert answer.json()["is_conforming"] is False
    assert answer.json()["reasons"]


def test_a_reading_is_corrected_by_a_later_one(controller, aircraft, hours):
    wrong = post(controller, READINGS, reading()).json()

    answer = post(controller, READINGS, reading(total=740700, corrects=wrong["id"]))

    assert answer.json()["corrects"] == wrong["id"]


@pytest.mark.parametrize(
    ("changes", "field", "code"),
    [
        ({"total": "12,345"}, "total", "invalid"),
        ({"total": 12.5}, "total", "invalid"),
        ({"total": -1}, "total", "too_small"),
        ({"total": 2**63}, "total", "too_large"),
        ({"total": None}, "total", "null"),
        ({"total": ...}, "total", "required"),
        ({"act_id": "7"}, "act_id", "invalid"),
        ({"measure": "furlongs"}, "measure", "unknown_measure"),
        ({"read_on": "03/03/2027"}, "read_on", "invalid"),
        ({"read_on": ...}, "read_on", "one_of_two"),
        ({"read_at": "2026-03-03T10:00:00Z"}, "read_on", "one_of_two"),
        ({"read_on": ..., "read_at": "2026-03-03T10:00:00"}, "read_at", "no_offset"),
        ({"source": 7}, "source", "invalid"),
        ({"source": "x" * 81}, "source", "max_length"),
        ({"minutes": 5}, "minutes", "unknown_field"),
    ],
)
def test_what_cannot_be_read_is_refused_at_its_field(
    controller, aircraft, hours, changes, field, code
):
    answer = post(controller, READINGS, reading(**changes))

    assert answer.status_code == 400
    assert [(error["field"], error["code"]) for error in answer.json()["errors"]] == [(field, code)]
    assert not UtilisationReading.objects.exists()


@pytest.mark.parametrize("number", ["1e999", "NaN", "-Infinity", "9" * 5000])
def test_a_number_that_is_none_is_refused(controller, aircraft, hours, number):
    body = '{"act_id": "%s", "measure": "FH", "read_on": "2026-03-03", "total": %s}'

    answer = controller.post(
        READINGS, body % (uuid.uuid4(), number), content_type="application/json"
    )

    assert answer.status_code == 400


def test_a_correction_of_nothing_is_refused_by_the_act(controller, aircraft, hours):
    answer = post(controller, READINGS, reading(corrects=99))

    assert (answer.status_code, answer.json()["code"]) == (422, "corrects_another")
    assert answer.json()["errors"][0]["field"] == "corrects"


def test_a_reading_for_an_unknown_aircraft_is_not_found(controller, hours):
    assert post(controller, READINGS, reading()).json()["code"] == "unknown_aircraft"


def planned(**changes):
    return {
        "name": "C4",
        "starts_on": "2027-06-07",
        "ends_on": "2027-06-18",
        "station": "lyd",
        **changes,
    }


def test_a_check_is_planned_and_then_moved(controller, aircraft):
    first = post(controller, CHECKS, planned())
    moved = post(controller, CHECKS, planned(ends_on="2027-06-20"))

    assert (first.status_code, moved.status_code) == (201, 200)
    assert Check.objects.get().ends_on.isoformat() == "2027-06-20"


def test_a_check_that_ends_before_it_starts_is_refused(controller, aircraft):
    answer = post(controller, CHECKS, planned(ends_on="2027-06-01"))

    assert (answer.status_code, answer.json()["code"]) == (422, "check_ends_before_start")
    assert not Check.objects.exists()


def test_a_body_that_is_no_json_is_a_problem(controller, aircraft):
    answer = controller.post(CHECKS, "{", content_type="application/json")

    assert (answer.status_code, answer.json()["code"]) == (400, "malformed")


def test_a_body_of_another_kind_is_a_problem(controller, aircraft):
    answer = controller.post(CHECKS, "<check/>", content_type="application/xml")

    assert (answer.status_code, answer.json()["code"]) == (415, "unsupported_media_type")


def test_a_body_that_is_too_large_is_a_problem(controller, aircraft):
    answer = controller.post(CHECKS, " " * (5 * 2**20 + 1), content_type="application/json")

    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


def test_an_address_takes_only_what_it_is_for(controller, aircraft):
    answer = controller.delete(CHECKS)

    assert (answer.status_code, answer.json()["code"]) == (405, "method_not_allowed")
