"""``make run``: everything from an empty folder to an address to open, and back to nothing.

Prints what it does. Ctrl-C or SIGTERM ends every process that it started.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import signal
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import psycopg

from . import databases, postgres
from .private import Unusable, made_folder
from .serving import address, production
from .serving.children import ENDING, Child, end, end_leftovers
from .serving.preparing import manage, prepare
from .serving.processes import Watched, children

ANSWER_SECONDS = 90.0  # for the web server to answer at all
READY_SECONDS = 45.0  # from then on, for every part to be well
PREPARED_AT_MOST = 3  # times


class Ended(Exception):
    """Somebody asked the run to end."""


def say(line: str) -> None:
    print(line, flush=True)


def main() -> int:
    for number in ENDING:
        signal.signal(number, _end)
    try:
        _run()
    except Unusable as reason:
        print(f"greenband: {reason}", file=sys.stderr, flush=True)
        return 1
    except Ended:
        say("Stopped. The data are kept.")
    return 0


def _end(number: int, frame: FrameType | None) -> None:
    signal.signal(number, signal.SIG_IGN)  # a second Ctrl-C must not interrupt the ending
    raise Ended


def _run() -> None:
    address.port()  # what is no port is said first
    production.refuse_faults(production.faults())
    folder = made_folder()
    # Children find the same data folder, and a later run knows them by it.
    os.environ["GREENBAND_DATA"] = str(folder)
    with _only_run(folder):
        address.refuse_taken()
        _serve(folder)


def _serve(folder: Path) -> None:
    began = time.monotonic()
    with _database() as server:
        _prepare(folder, server)
        started = children(folder / "log", f"{address.bound_at()}:{address.port()}")
        try:
            for child in started:
                child.start()
            _wait_until_ready(started, address.reached_at())
            say(f"\nGreenband is ready after {time.monotonic() - began:.0f} s.")
            say(f"Open {address.opened_at()}   (Ctrl-C stops it; logs are in {folder / 'log'})")
            if not production.shows_demonstration():
                _show_first_address()
            watched = Watched(started, server, say)
            while True:
                time.sleep(0.5)
                watched.look()
        finally:
            say("Stopping...")
            end(started)


def _prepare(folder: Path, server: postgres.Server | None) -> None:
    """This will bring the house up to date; once more where the private server broke down meanwhile."""
    for _ in range(PREPARED_AT_MOST - 1 if server else 0):
        assert server is not None
        postgres.start(server)
        with contextlib.closing(psycopg.connect(server.admin_url(), autocommit=True)) as opened:
            try:
                return prepare(folder)
            except Unusable:
                if _is_alive(opened):
                    raise
        say("PostgreSQL broke down meanwhile: it is done once more.")
    return prepare(folder)


def _is_alive(opened: psycopg.Connection) -> bool:
    try:
        opened.execute("SELECT 1")
    except psycopg.Error:
        return False
    return True


def _show_first_address() -> None:
    """The house is served already: it is not ended for an address that can be made again."""
    try:
        manage("first_person", "--if-empty")
    except Unusable:
        say(
            "If nobody is here yet: manage.py first_person prints the address for the first person."
        )


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


def _wait_until_ready(started: list[Child], reached: str) -> None:
    deadline = time.monotonic() + ANSWER_SECONDS
    answered = False
    while (now := time.monotonic()) < deadline:
        for child in started:
            if child.exit_code is not None:
                raise Unusable(f"The {child.name} process did not start:\n{child.last_lines()}")
        status = _health(reached)
        if status == 200:
            return
        if status and not answered:
            answered, deadline = True, now + READY_SECONDS
        time.sleep(0.2)
    if not answered:
        raise Unusable(f"The web server did not answer:\n{started[-1].last_lines()}")
    say(f"Not every part is ready yet: see http://{reached}/healthz")


def _health(reached: str) -> int | None:
    """The status that /healthz answers with; None when nothing answers."""
    try:
        with urllib.request.urlopen(f"http://{reached}/healthz", timeout=5) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refusal:
        return refusal.code
    except OSError:
        return None


if __name__ == "__main__":
    sys.exit(main())
