"""``make run``: everything from an empty folder to an address to open, and back to nothing.

Prints what it does. Ctrl-C or SIGTERM ends every process that it started.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import psycopg

from . import databases, postgres
from .children import ENDING, Child, end, end_leftovers
from .private import ROOT, Unusable, made_folder

ANSWER_SECONDS = 90.0  # for the web server to answer at all
READY_SECONDS = 45.0  # from then on, for every part to be well


class Ended(Exception):
    """Somebody asked the run to end."""


def say(line: str) -> None:
    print(line, flush=True)


def main() -> int:
    for number in ENDING:
        signal.signal(number, _end)
    try:
        _run(_port())
    except Unusable as reason:
        print(f"greenband: {reason}", file=sys.stderr, flush=True)
        return 1
    except Ended:
        say("Stopped. The data are kept.")
    return 0


def _end(number: int, frame: FrameType | None) -> None:
    signal.signal(number, signal.SIG_IGN)  # a second Ctrl-C must not interrupt the ending
    raise Ended


def _run(port: int) -> None:
    folder = made_folder()
    # Children find the same data folder, and a later run knows them by it.
    os.environ["GREENBAND_DATA"] = str(folder)
    with _only_run(folder):
        _refuse_taken(port)
        _serve(folder, port)


def _serve(folder: Path, port: int) -> None:
    began = time.monotonic()
    with _database() as server:
        _prepare(folder)
        children = _children(folder, port)
        try:
            for child in children:
                child.start()
            _wait_until_ready(children, port)
            say(f"\nGreenband is ready after {time.monotonic() - began:.0f} s.")
            say(f"Open http://127.0.0.1:{port}/   (Ctrl-C stops it; logs are in {folder / 'log'})")
            _watch(children, server)
        finally:
            say("Stopping...")
            end(children)


def _port() -> int:
    text = os.environ.get("PORT") or "8000"
    if not text.isdecimal() or not 0 < int(text) < 2**16:
        raise Unusable(f"PORT is {text!r}; it must be a number from 1 to 65535.")
    return int(text)


def _refuse_taken(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except PermissionError:
            raise Unusable(
                f"Port {port} is not open to this user. Try: make run PORT=8000"
            ) from None
        except OSError:
            raise Unusable(
                f"Port {port} is in use. Name another: make run PORT={port + 1}"
            ) from None


@contextlib.contextmanager
def _only_run(folder: Path) -> Iterator[None]:
    """The lock of the one run in a data folder; a killed run's lock falls, its leavings are ended."""
    with (folder / "run.lock").open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Unusable(f"Greenband already runs with the data folder {folder}.") from None
        end_leftovers(folder)
        yield


@contextlib.contextmanager
def _database() -> Iterator[postgres.Server | None]:
    """The private server, up for the whole run; None when a real one is named, and answers."""
    if url := os.environ.get("DATABASE_URL"):
        _refuse_absent(url)
        yield None
        return
    say("Database: starting the private PostgreSQL")
    server = postgres.main_server()
    try:
        # One open connection all the while: a command that ends meanwhile leaves the server up.
        with databases.private_ready(), psycopg.connect(server.admin_url()):
            yield server
    finally:
        postgres.stop(server)


def _refuse_absent(url: str) -> None:
    try:
        psycopg.connect(url, connect_timeout=5).close()
    except psycopg.Error as error:
        where = f"{error}".strip().splitlines()[-1]
        raise Unusable(f"The database in DATABASE_URL cannot be reached: {where}") from None


def _prepare(folder: Path) -> None:
    (folder / "log").mkdir(exist_ok=True)
    _manage("bring_up")
    if os.environ.get("DEMO", "1") != "0":
        _manage("load_demo", "--if-empty")


def _manage(*arguments: str) -> None:
    """This will run one management command; its words go to the terminal."""
    role = "owner" if arguments[0] in databases.OWNER_COMMANDS else "application"
    result = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), *arguments],
        env={**os.environ, "GREENBAND_AS": role},
        stdin=subprocess.DEVNULL,
        check=False,
    )
    if result.returncode != 0:
        raise Unusable(f"The step 'manage.py {arguments[0]}' failed; its own words are above.")


def _children(folder: Path, port: int) -> list[Child]:
    python = [sys.executable, "-m"]
    worker = ["celery", "-A", "fleet.config", "worker", "--beat", "--loglevel", "INFO"]
    lean = ["--without-gossip", "--without-mingle", "--without-heartbeat"]
    web = ["gunicorn", "fleet.config.wsgi", "--bind", f"127.0.0.1:{port}"]
    size = [
        "--workers",
        "2",
        "--threads",
        "4",
        "--preload",
        "--no-control-socket",
        "--timeout",
        "120",
        "--graceful-timeout",
        "10",
    ]
    return [
        Child("worker", [*python, *worker, *lean], folder / "log" / "worker.log"),
        Child("web", [*python, *web, *size], folder / "log" / "web.log"),
    ]


def _wait_until_ready(children: list[Child], port: int) -> None:
    deadline = time.monotonic() + ANSWER_SECONDS
    answered = False
    while (now := time.monotonic()) < deadline:
        for child in children:
            if child.exit_code is not None:
                raise Unusable(f"The {child.name} process did not start:\n{child.last_lines()}")
        status = _health(port)
        if status == 200:
            return
        if status and not answered:
            answered, deadline = True, now + READY_SECONDS
        time.sleep(0.2)
    if not answered:
        raise Unusable(f"The web server did not answer:\n{children[-1].last_lines()}")
    say(f"Not every part is ready yet: see http://127.0.0.1:{port}/healthz")


def _health(port: int) -> int | None:
    """The status that /healthz answers with; None when nothing answers."""
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz", timeout=5) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refusal:
        return refusal.code
    except OSError:
        return None


def _watch(children: list[Child], server: postgres.Server | None) -> None:
    while True:
        time.sleep(0.5)
        if server and server.pid() is None:
            say("PostgreSQL ended; starting it again.")
            postgres.start(server)
        for child in children:
            if (code := child.exit_code) is None:
                continue
            if child.dies_too_often(time.monotonic()):
                raise Unusable(f"The {child.name} process keeps ending:\n{child.last_lines()}")
            say(f"The {child.name} process ended (exit {code}); starting it again.")
            child.start()


if __name__ == "__main__":
    sys.exit(main())
