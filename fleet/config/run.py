"""``make run``: everything from an empty folder to an address to open, and back to nothing.

Prints what it does. Ctrl-C or SIGTERM ends every process that it started.
"""

from __future__ import annotations

import contextlib
import errno
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
from .private import ROOT, Unusable, made_folder
from .serving import production
from .serving.children import ENDING, Child, end, end_leftovers
from .serving.processes import Watched, children

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
    production.refuse_faults(production.faults())
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
        bind = _bind()
        started = children(folder / "log", f"{bind}:{port}")
        try:
            for child in started:
                child.start()
            _wait_until_ready(started, f"{_reached(bind)}:{port}")
            say(f"\nGreenband is ready after {time.monotonic() - began:.0f} s.")
            say(f"Open {_address(bind, port)}   (Ctrl-C stops it; logs are in {folder / 'log'})")
            if not production.shows_demonstration():
                _manage("first_person", "--if-empty")
            watched = Watched(started, server, say)
            while True:
                time.sleep(0.5)
                watched.look()
        finally:
            say("Stopping...")
            end(started)


def _bind() -> str:
    """The address of this machine at which it is served: only this machine's own unless BIND says more."""
    return os.environ.get("BIND") or "127.0.0.1"


def _reached(bind: str) -> str:
    return {"0.0.0.0": "127.0.0.1", "::": "[::1]", "[::]": "[::1]"}.get(bind, bind)  # noqa: S104


def _address(bind: str, port: int) -> str:
    """Where a person opens it: by the name that is allowed, through the proxy if https is meant."""
    if not production.is_meant():
        return f"http://{_reached(bind)}:{port}/"
    names = [name for name in os.environ.get("ALLOWED_HOSTS", "").split(",") if name.strip()]
    name = names[0].strip() if names else "the name of your proxy"
    return f"https://{name}/ (the proxy's; it asks http://{_reached(bind)}:{port}/)"


def _port() -> int:
    text = os.environ.get("PORT") or "8000"
    if not text.isdecimal() or not 0 < int(text) < 2**16:
        raise Unusable(f"PORT is {text!r}; it must be a number from 1 to 65535.")
    return int(text)


def _refuse_taken(port: int) -> None:
    bind = _bind().strip("[]")
    family = socket.AF_INET6 if ":" in bind else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((bind, port))
        except PermissionError:
            raise Unusable(
                f"Port {port} is not open to this user. Try: make run PORT=8000"
            ) from None
        except socket.gaierror:
            raise Unusable(f"BIND is {bind!r}; it must be an address of this machine.") from None
        except OSError as fault:
            if fault.errno == errno.EADDRNOTAVAIL:
                words = f"BIND is {bind!r}, which is no address of this machine."
                raise Unusable(words) from None
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
    if production.shows_demonstration():
        _manage("load_demo", "--if-empty")
    if production.is_meant():
        _manage("refuse_unsafe")


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


def _wait_until_ready(started: list[Child], address: str) -> None:
    deadline = time.monotonic() + ANSWER_SECONDS
    answered = False
    while (now := time.monotonic()) < deadline:
        for child in started:
            if child.exit_code is not None:
                raise Unusable(f"The {child.name} process did not start:\n{child.last_lines()}")
        status = _health(address)
        if status == 200:
            return
        if status and not answered:
            answered, deadline = True, now + READY_SECONDS
        time.sleep(0.2)
    if not answered:
        raise Unusable(f"The web server did not answer:\n{started[-1].last_lines()}")
    say(f"Not every part is ready yet: see http://{address}/healthz")


def _health(address: str) -> int | None:
    """The status that /healthz answers with; None when nothing answers."""
    try:
        with urllib.request.urlopen(f"http://{address}/healthz", timeout=5) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refusal:
        return refusal.code
    except OSError:
        return None


if __name__ == "__main__":
    sys.exit(main())
