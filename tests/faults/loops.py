"""The loops: kills, races, tampering and junk on a house at work. Each tells its counts, by name."""

from __future__ import annotations

import contextlib
import json
import os
import random
import signal
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from uuid import uuid4

import psutil
import psycopg

from fleet.config import roles

from .house import AIRCRAFT, LINES_OF_A_LOAD, House, Promised, Writers, reading

#: Who is killed, in turn; the masters come back slower each time, so their children die more often.
VICTIMS = (
    "a web process",
    "a backend",
    "a job",
    "a web process",
    "the worker",
    "a backend",
    "the loader",
    "a web process",
    "the scheduler",
    "a job",
    "the web server",
    "the postmaster",
)
MARKS = {
    "the worker": "worker@%h",
    "the loader": "loader@%h",
    "the scheduler": "beat --loglevel",
    "the web server": "gunicorn fleet",
}
#: After so many the watcher itself is killed, and a new run clears up after it.
ROUND = 30 if os.environ.get("KILLS") else 12
BETWEEN_SECONDS = 0.5


# --- kills ------------------------------------------------------------------------------------


def kill_loop(
    house: House, kills: int, chance: random.Random, victims: Sequence[str] = VICTIMS
) -> dict[str, int]:
    """This will kill -9 one process after another under writes, then compare with what was acknowledged."""
    writers, done = Writers(house), Counter[str]()
    writers.begin()
    try:
        while done.total() < kills:
            time.sleep(BETWEEN_SECONDS * (0.5 + chance.random()))
            if done.total() % ROUND == ROUND - 1:
                done["the watcher"] += start_anew(house)
                continue
            victim = victims[done.total() % len(victims)]
            if pid := chosen(house, victim, chance):
                with contextlib.suppress(ProcessLookupError):
                    os.kill(pid, signal.SIGKILL)
                done[victim] += 1
    finally:
        house.installation.wait_for(lambda: house.installation.health()[0] == 200, seconds=120)
        writers.end()
    house.installation.wait_for(lambda: not waiting(house), seconds=120)
    return compared(house, writers.promised) | {"kills": done.total(), **done}


def start_anew(house: House) -> int:
    """This will kill the watcher outright and start another run at once, as a service manager does."""
    made = house.installation
    assert made.process is not None
    made.process.kill()
    made.process.wait()
    made.start()
    printed = made.printed_until("Open http")
    assert "Open http" in printed, printed
    drained(made.process.stdout)
    return 1


def drained(stream: object) -> None:
    """What a run prints is read on and on, so that it never waits for a reader."""
    threading.Thread(target=lambda: [None for _ in stream], daemon=True).start()  # type: ignore[attr-defined]


def chosen(house: House, victim: str, chance: random.Random) -> int | None:
    """The process to kill; None where it is just away."""
    with contextlib.suppress(psycopg.Error, psutil.Error, IndexError):
        if victim == "the postmaster":
            return house.server.pid()
        if victim == "a backend":
            sql = (
                "SELECT pid FROM pg_stat_activity WHERE usename = 'greenband_app' ORDER BY random()"
            )
            return int(house.asked(sql)[0][0])
        assert house.installation.process is not None
        below = psutil.Process(house.installation.process.pid).children()
        if victim in MARKS:
            return next(iter(marked(below, MARKS[victim]))).pid
        owners = ["gunicorn fleet"] if victim == "a web process" else ["worker@%h", "loader@%h"]
        masters = marked(below, chance.choice(owners))
        return chance.choice(masters[0].children()).pid
    return None


def marked(processes: list[psutil.Process], mark: str) -> list[psutil.Process]:
    return [each for each in processes if mark in " ".join(each.cmdline())]


def waiting(house: House) -> bool:
    sql = "SELECT count(*) FROM fleet_load WHERE state IN ('waiting', 'reading', 'applying')"
    with contextlib.suppress(psycopg.Error):
        return house.asked(sql) != [(0,)]
    return True


def compared(house: House, promised: Promised) -> dict[str, int]:
    """What was acknowledged against what is on record."""
    rows = Counter(
        str(key) for (key,) in house.asked("SELECT act_id FROM fleet_utilisationreading")
    )
    states = {str(key): state for key, state in house.asked("SELECT key, state FROM fleet_load")}
    lines = house.asked(
        "SELECT left(code, 5), count(*) FROM fleet_station WHERE code LIKE 'Z%' GROUP BY 1"
    )
    return {
        "acknowledged": len(promised.readings) + len(promised.loads),
        "sent_again": promised.sent_again,
        "lost": len(promised.readings - set(rows)) + len(promised.loads - set(states)),
        "twice": sum(count > 1 for count in rows.values()),
        "half_done": sum(count != LINES_OF_A_LOAD for _, count in lines),
        "loads_applied": sum(state == "applied" for state in states.values()),
        "loads_unfinished": sum(state not in {"applied", "failed"} for state in states.values()),
    }


# --- races ------------------------------------------------------------------------------------


def race_loop(house: House, races: int) -> dict[str, int]:
    """This will send one act four times at one moment, and another content under the same id with them."""
    first = int(house.asked("SELECT count(*) FROM fleet_utilisationreading")[0][0])
    answers = Counter[int]()
    wrong = 0
    for number in range(races):
        act_id = str(uuid4())
        bodies = [reading(first + number, act_id)] * 4 + [reading(first + number + 1, act_id)]
        told = at_once(house, f"/api/v1/aircraft/{AIRCRAFT[0]}/readings", bodies)
        answers.update(told)
        kept = house.asked(
            f"SELECT count(*) FROM fleet_utilisationreading WHERE act_id = '{act_id}'"
        )
        wrong += kept != [(1,)] or told.count(201) != 1
    faults = sum(count for status, count in answers.items() if status >= 500 or status == 0)
    return {"races": races, "done_not_once": wrong, "faults": faults}


def at_once(house: House, path: str, bodies: list[bytes]) -> list[int]:
    gate, told = threading.Barrier(len(bodies)), []

    def send(body: bytes) -> None:
        gate.wait()
        told.append(house.sent(path, body, "application/json")[0])

    threads = [threading.Thread(target=send, args=(body,)) for body in bodies]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return told


# --- tampering --------------------------------------------------------------------------------

REFUSED = (
    psycopg.errors.InsufficientPrivilege,
    psycopg.errors.RaiseException,
    psycopg.errors.RestrictViolation,
)


def tamper_loop(house: House, tries: int, chance: random.Random) -> dict[str, int]:
    """This will try to change what is kept: as the application, and as the owner what triggers keep."""
    ways = [*as_application(house), *as_owner(house)]
    let_in = 0
    for _ in range(tries):
        role, statement = chance.choice(ways)
        try:
            with psycopg.connect(house.url_of(role)) as opened:
                let_in += opened.execute(statement).rowcount != 0
        except REFUSED:
            continue
    return {"tampers": tries, "let_in": let_in}


def as_application(house: House) -> Iterator[tuple[str, str]]:
    columns = house.asked(
        "SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = 'public'"
    )
    kept = roles.kept_tables()
    for table in (*roles.ledger_tables(), *kept, *roles.read_tables()):
        yield roles.APPLICATION, f"DELETE FROM {table}"
        yield roles.APPLICATION, f"TRUNCATE {table} CASCADE"
        yield roles.APPLICATION, f"ALTER TABLE {table} DISABLE TRIGGER ALL"
        yield roles.APPLICATION, f"DROP TABLE {table} CASCADE"
        for name, column in columns:
            if name == table and column not in kept.get(table, ()):
                yield roles.APPLICATION, f'UPDATE {table} SET "{column}" = "{column}"'
    yield roles.APPLICATION, f"SET ROLE {roles.OWNER}"
    yield roles.APPLICATION, "SET session_replication_role = replica"


def as_owner(house: House) -> Iterator[tuple[str, str]]:
    for table in ("fleet_utilisationreading", "fleet_act"):
        for act in ("UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {} CASCADE"):
            yield roles.OWNER, act.format(table)


# --- junk -------------------------------------------------------------------------------------

JUNK = (
    None,
    "",
    "x" * 5000,
    -1,
    2**70,
    1e308,
    True,
    [],
    {},
    [[]],
    "\x00",
    "💥",
    "2026-13-45",
    "null",
)
ADDRESSES = (
    f"/api/v1/aircraft/{AIRCRAFT[0]}/readings",
    f"/api/v1/aircraft/{AIRCRAFT[0]}/checks",
    "/api/v1/stores/holds",
    "/api/v1/loads",
    "/api/v1/units",
    "/sign-in/",
)


def junk_loop(house: House, tries: int, chance: random.Random) -> dict[str, int]:
    """This will send what no program should, and count what the house did not answer for."""
    answers = Counter[int]()
    for _ in range(tries):
        body = json.loads(reading(chance.randrange(9000), str(uuid4())))
        body[chance.choice(list(body))] = chance.choice(JUNK)
        raw = json.dumps(body).encode()
        if chance.random() < 0.4:
            place = chance.randrange(len(raw))
            raw = raw[:place] + chance.randbytes(chance.randrange(4)) + raw[place + 1 :]
        media = chance.choice(
            ("application/json", "text/plain", "multipart/form-data; boundary=x", "")
        )
        answers[house.sent(chance.choice(ADDRESSES), raw, media)[0]] += 1
    faults = sum(count for status, count in answers.items() if status >= 500 or status == 0)
    return {"junk": tries, "faults": faults}
