"""/metrics tells figures in Prometheus' text to who may have them, and /readyz whether requests can be served."""

from __future__ import annotations

import re

import pytest
from django.db import OperationalError, connection

from fleet.config.models import beat
from fleet.config.serving import metrics, tally

pytestmark = pytest.mark.django_db
#: A line of the text format, version 0.0.4: a comment, or a name with labels and a number.
LINE = re.compile(
    r'# (HELP|TYPE) [a-z_]+ .+|[a-z_]+(\{[a-z_]+="[^"\\]*"(,[a-z_]+="[^"\\]*")*\})? [0-9.e+-]+'
)


@pytest.fixture(autouse=True)
def counted_anew(monkeypatch):
    fresh = tally.Tally()
    monkeypatch.setattr(metrics, "TALLY", fresh)
    monkeypatch.setattr("fleet.config.serving.requests.TALLY", fresh)


def figures(client, **headers):
    answer = client.get("/metrics", headers=headers)
    assert answer.status_code == 200
    assert answer["Content-Type"].startswith("text/plain; version=0.0.4")
    lines = answer.content.decode().splitlines()
    assert [line for line in lines if not LINE.fullmatch(line)] == []
    return dict(line.rsplit(" ", 1) for line in lines if line[0] != "#")


def test_it_counts_answers_by_door_and_status_with_their_durations(client):
    client.get("/sign-in/")
    client.get("/api/v1/units")
    client.get("/nowhere/")
    client.get("/nowhere/")

    told = figures(client)

    assert told['greenband_requests_total{door="page",status="200"}'] == "1"
    assert told['greenband_requests_total{door="api",status="401"}'] == "1"
    assert told['greenband_requests_total{door="page",status="404"}'] == "2"
    assert told['greenband_request_seconds_count{door="page"}'] == "3"
    assert told['greenband_request_seconds_bucket{door="page",le="+Inf"}'] == "3"
    assert float(told['greenband_request_seconds_sum{door="page"}']) > 0


def test_classes_of_durations_hold_those_before_them(client):
    for seconds in (0.005, 0.3, 99.0):
        metrics.TALLY.note("page", 200, seconds)

    told = figures(client)

    counts = {
        le: told[f'greenband_request_seconds_bucket{{door="page",le="{le}"}}']
        for le in ("0.01", "0.25", "0.5", "30.0", "+Inf")
    }
    assert counts == {"0.01": "1", "0.25": "1", "0.5": "2", "30.0": "2", "+Inf": "3"}


def test_it_tells_signs_of_life_room_and_what_waits(client):
    beat("worker")

    told = figures(client)

    assert float(told['greenband_sign_of_life_age_seconds{process="worker"}']) < 60
    assert float(told["greenband_disk_room_bytes"]) > 0
    assert float(told["greenband_database_bytes"]) > 0
    assert told["greenband_due_items_stale"] == told["greenband_loads_waiting"] == "0"
    assert told["greenband_database_up"] == "1"


def test_without_the_database_the_rest_is_told(client, monkeypatch):
    def gone():
        raise OperationalError("connection refused")

    monkeypatch.setattr(connection, "ensure_connection", gone)
    connection.close()

    told = figures(client)

    assert told["greenband_database_up"] == "0"
    assert "greenband_disk_room_bytes" in told
    assert "greenband_due_items_stale" not in told


@pytest.mark.parametrize(
    ("address", "through", "status"),
    [
        ("127.0.0.1", {}, 200),
        ("::1", {}, 200),
        ("10.0.0.7", {}, 403),
        ("", {}, 403),
        # A proxy on this machine asks for somebody elsewhere.
        ("127.0.0.1", {"x-forwarded-for": "127.0.0.1"}, 403),
        ("127.0.0.1", {"x-forwarded-proto": "https"}, 403),
        ("127.0.0.1", {"forwarded": "for=127.0.0.1"}, 403),
    ],
)
def test_only_this_machine_may_ask_without_a_token(client, address, through, status):
    assert client.get("/metrics", headers=through, REMOTE_ADDR=address).status_code == status


def test_with_its_token_it_may_be_asked_from_elsewhere(client, settings):
    settings.METRICS_TOKEN = "for-the-watcher"
    asked = {"REMOTE_ADDR": "10.0.0.7"}

    right = client.get("/metrics", headers={"authorization": "Bearer for-the-watcher"}, **asked)
    wrong = client.get("/metrics", headers={"authorization": "Bearer another"}, **asked)

    assert (right.status_code, wrong.status_code) == (200, 403)


def test_a_house_whose_worker_is_silent_is_ready_to_serve(client):
    assert client.get("/healthz").status_code == 503
    assert client.get("/readyz").json()["parts"].keys() == {"database", "migrations"}
    assert client.get("/readyz").status_code == 200


def test_without_its_tables_it_is_not_ready(client, as_owner):
    with as_owner(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations WHERE app = 'house'")

    assert client.get("/readyz").status_code == 503
    assert client.get("/livez").status_code == 200
