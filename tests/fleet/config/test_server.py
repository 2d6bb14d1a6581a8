"""The web server itself: half-sent requests hold up nobody, and what it refuses is told as ours is."""

from __future__ import annotations

import contextlib
import json
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from fleet.config.serving.processes import command
from fleet.config.serving.server import SILENT_SECONDS
from tests.fleet.config.installation import ROOT, Installation, free_port

pytestmark = pytest.mark.slow
POST = b"POST /api/v1/stores/holds HTTP/1.1\r\nHost: localhost\r\n"
HALF = {
    "head": POST,
    "body": POST + b"Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n{",
    "one letter": b"P",
    "nothing": b"",
}


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """The web server alone, as a run starts it; no database is there, which it need not be for this."""
    port = free_port()
    house = Installation(tmp_path_factory.mktemp("server") / "data", port)
    nowhere = {"DATABASE_URL": "postgresql://a:pw@127.0.0.1:1/g"}
    nowhere["OWNER_DATABASE_URL"] = nowhere["DATABASE_URL"]
    with (house.data.parent / "log").open("wb") as log:
        server = subprocess.Popen(
            command("web", f"127.0.0.1:{port}"),
            cwd=ROOT,
            env=house.environment(**nowhere),
            stdout=log,
            stderr=log,
        )
    house.wait_for(lambda: lives(port) is not None)
    yield port
    server.terminate()
    server.wait(timeout=30)
    told = Path(house.data.parent / "log").read_text()
    assert "Traceback" not in told
    assert "let go" in told


def lives(port: int, patience: float = 20) -> float | None:
    """How long the server took to say that it lives; None if it did not."""
    began = time.monotonic()
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/livez", timeout=patience) as answer:
            assert answer.status == 200
    except OSError:
        return None
    return time.monotonic() - began


@contextlib.contextmanager
def half_sent(port: int, count: int, begun: bytes) -> Iterator[list[socket.socket]]:
    with contextlib.ExitStack() as stack:
        opened = [
            stack.enter_context(socket.create_connection(("127.0.0.1", port))) for _ in range(count)
        ]
        for each in opened:
            each.sendall(begun)
        time.sleep(0.5)
        yield opened


@pytest.mark.parametrize("begun", HALF.values(), ids=HALF)
def test_a_dozen_half_sent_requests_do_not_hold_up_health(port, begun):
    with half_sent(port, 12, begun):
        took = [lives(port) for _ in range(5)]

    assert all(each is not None and each < 2 for each in took), took


def test_more_than_there_are_threads_are_let_go_in_time(port):
    with half_sent(port, 60, HALF["head"]) as opened:
        took = lives(port, patience=90)
        # One of the two processes may have been given so many that some wait for a second turn, and the
        # other so few that it answers before anybody is let go.
        deadline = time.monotonic() + 2 * SILENT_SECONDS + 10
        while not (ended := [each for each in opened if is_over(each)]):
            if time.monotonic() > deadline:
                break

    assert took is not None and took < 2 * SILENT_SECONDS + 10
    assert ended


def is_over(opened: socket.socket) -> bool:
    opened.settimeout(0.2)
    try:
        opened.recv(1)
    except TimeoutError:
        return False
    except OSError:
        return True
    return True


def answered(port: int, request: bytes) -> tuple[int, dict[str, str], bytes]:
    with socket.create_connection(("127.0.0.1", port), timeout=20) as opened:
        opened.sendall(request)
        whole = b""
        while part := opened.recv(65536):
            whole += part
    head, _, body = whole.partition(b"\r\n\r\n")
    first, *rest = head.decode().split("\r\n")
    return int(first.split()[1]), dict(line.split(": ", 1) for line in rest), body


LONG = b"a" * 9000
TOO_MUCH = {
    414: b"?q=" + LONG + b" HTTP/1.1\r\nHost: localhost\r\n\r\n",
    431: b" HTTP/1.1\r\nHost: localhost\r\nCookie: " + LONG + b"\r\n\r\n",
    400: b" HTTP/1.1\r\nHost localhost\r\n\r\n",
}


@pytest.mark.parametrize("status", TOO_MUCH)
def test_what_the_server_refuses_is_a_problem_to_programs(port, status):
    given, headers, body = answered(port, b"GET /api/v1/units" + TOO_MUCH[status])

    assert (given, headers["Content-Type"]) == (status, "application/problem+json")
    problem = json.loads(body)
    assert problem["status"] == status
    assert problem["type"] == f"urn:greenband:problem:{problem['code']}"
    assert problem["detail"].endswith(".")


@pytest.mark.parametrize("status", TOO_MUCH)
def test_and_a_sentence_to_people(port, status):
    given, headers, body = answered(port, b"GET /units/" + TOO_MUCH[status])

    assert (given, headers["Content-Type"]) == (status, "text/html; charset=utf-8")
    assert "<h1>This cannot be taken</h1>" in body.decode()
    assert "gunicorn" not in body.decode().lower()


def test_a_second_request_on_a_kept_connection_is_told_the_same(port):
    with socket.create_connection(("127.0.0.1", port), timeout=20) as opened:
        opened.sendall(b"GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n")
        time.sleep(0.5)
        assert b" 200 " in opened.recv(65536)
        opened.sendall(b"GET /api/v1/units" + TOO_MUCH[414])
        answer = opened.recv(65536)

    assert b" 414 " in answer
    assert b"application/problem+json" in answer
