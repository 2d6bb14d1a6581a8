"""Each request leaves one line that helps to find a fault and opens no door, and is counted."""

from __future__ import annotations

import json
import logging
import os
import signal
import uuid

import pytest

from fleet.config.serving.tally import WITHIN, Tally
from fleet.models import Aircraft, AircraftType, Measure, Station, User
from tests.api.conftest import a_secret, an_administrator
from tests.api.test_fleet_acts import READINGS, reading
from tests.equipment.line_world import crew

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough phrase"


@pytest.fixture
def lines(caplog):
    """What was logged of requests, as the log's own JSON."""
    caplog.set_level(logging.INFO, logger="request")
    formatter = next(h.formatter for h in logging.getLogger().handlers if h.formatter)

    def told():
        of_requests = [each for each in caplog.records if each.name == "request"]
        return [json.loads(formatter.format(each)) for each in of_requests]

    return told


@pytest.fixture
def reading_aircraft():
    tern = AircraftType.objects.create(code="TERN-200", name="Tern 200")
    station = Station.objects.create(code="LYD", name="Lydmouth", time_zone="Europe/London")
    minutes = {"name": "Flight hours", "unit": "minutes", "counted_on": "aircraft"}
    Measure.objects.get_or_create(code="FH", defaults=minutes)
    return Aircraft.objects.create(
        registration="Q-AVEN", msn="1042", aircraft_type=tern, station=station
    )


@pytest.fixture
def technician(client):
    crew()
    client.force_login(User.objects.get(username="technician"))
    return client


def test_a_page_leaves_one_line_with_who_and_without_the_query(technician, lines):
    answer = technician.get("/units/?q=KB-301&part=secret", headers={"x-request-id": "abc-1"})

    [line] = lines()
    assert {name: line[name] for name in ("event", "method", "path", "status", "person")} == {
        "event": "request",
        "method": "GET",
        "path": "/units/",
        "status": answer.status_code,
        "person": "technician",
    }
    assert line["milliseconds"] > 0
    assert line["request_id"] == answer["X-Request-ID"] == "abc-1"
    assert "secret" not in json.dumps(line)


def test_a_request_without_an_id_of_its_own_gets_one(client, lines):
    answers = [client.get("/sign-in/", headers={"x-request-id": 'a"\nb'}) for _ in range(2)]

    names = [answer["X-Request-ID"] for answer in answers]
    assert [line["request_id"] for line in lines()] == names
    assert len(set(names)) == 2
    assert all(len(name) == 32 for name in names)


def test_a_program_is_told_by_its_person_and_its_act(client, lines, reading_aircraft):
    secret = a_secret(an_administrator(), "controller")
    body = reading(act_id=str(uuid.uuid4()))

    client.post(
        READINGS,
        body,
        content_type="application/json",
        headers={"authorization": f"Bearer {secret}"},
    )

    [line] = lines()
    assert (line["status"], line["person"]) == (201, "program-controller")
    assert (line["act"], line["act_id"]) == ("record_reading", body["act_id"])
    assert secret not in json.dumps(line)


def test_the_act_of_one_request_is_not_in_the_next_ones_line(client, lines, reading_aircraft):
    secret = a_secret(an_administrator(), "controller")
    sent = {"content_type": "application/json", "headers": {"authorization": f"Bearer {secret}"}}

    client.post(READINGS, reading(), **sent)
    client.get("/sign-in/")

    assert ["act_id" in line for line in lines()] == [True, False]


def test_no_password_and_no_one_time_address_is_in_a_line(client, lines):
    User.objects.create_user("mira", password=PASSWORD)
    link = "eyJwZXJzb24iOjEsIm1hZGUiOiIyMDI2LTExLTMwIn0:" + "kXo9" * 11

    client.post("/sign-in/", {"username": "mira", "password": PASSWORD})
    client.get(f"/join/{link}/")
    client.get(f"/join/{link}")

    told = json.dumps(lines())
    assert len(lines()) == 3
    assert PASSWORD not in told and link not in told
    assert "/join/(not logged)/" in told


def test_names_of_things_stay_in_the_line(client, lines):
    named = str(uuid.uuid4())

    client.get(f"/swaps/{named}/")
    client.get("/aircraft/Q-AKIR/")

    assert [line["path"] for line in lines()] == [f"/swaps/{named}/", "/aircraft/Q-AKIR/"]


def test_health_is_not_in_the_log(client, lines):
    client.get("/livez")
    client.get("/healthz")

    assert lines() == []


# --- counts -----------------------------------------------------------------------------------


def test_processes_count_into_one_sum():
    tally = Tally()
    children = []
    for _ in range(4):
        child = os.fork()
        if child == 0:
            for _ in range(500):
                tally.note("api", 201, 0.2)
            os._exit(0)
        children.append(child)
    for child in children:
        os.waitpid(child, 0)

    assert list(tally.answers()) == [("api", 201, 2000)]
    assert tally.durations()["api"].counts[WITHIN.index(0.25)] == 2000
    assert tally.durations()["api"].seconds == pytest.approx(400)


def test_a_process_killed_while_it_counts_holds_up_nobody():
    tally = Tally()
    reading_end, writing_end = os.pipe()
    child = os.fork()
    if child == 0:
        with tally._alone():
            os.write(writing_end, b"x")
            signal.pause()
    os.read(reading_end, 1)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)

    tally.note("page", 200, 0.01)

    assert list(tally.answers()) == [("page", 200, 1)]
