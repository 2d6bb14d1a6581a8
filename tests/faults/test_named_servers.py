"""The faults of the suite on a PostgreSQL and a Redis that the house names instead of its private ones."""

from __future__ import annotations

import random
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from tests.fleet.config.installation import Installation

from . import loops
from .house import House
from .named_servers import NamedPostgres, NamedRedis, postgres_at, redis_at

pytestmark = pytest.mark.slow
KILLS = 8
VICTIMS = ("a web process", "a backend", "the worker", "the loader")


@pytest.fixture(scope="module")
def folder() -> Iterator[Path]:
    """Outside pytest's own, into which the server's account may not look."""
    with tempfile.TemporaryDirectory(prefix="named-", ignore_cleanup_errors=True) as made:
        yield Path(made)


@pytest.fixture(scope="module")
def database(folder: Path) -> Iterator[NamedPostgres]:
    (folder / "postgres").mkdir()
    folder.chmod(0o755)
    with postgres_at(folder / "postgres") as made:
        yield made


@pytest.fixture(scope="module")
def broker(folder: Path) -> Iterator[NamedRedis]:
    with redis_at(folder) as made:
        yield made


@pytest.fixture(scope="module")
def house(
    database: NamedPostgres, broker: NamedRedis, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[House]:
    installation = Installation(tmp_path_factory.mktemp("named") / "data")
    done = installation.manage("make_accounts", database.admin_url)
    assert done.returncode == 0, done.stderr
    lines = (installation.data / "database.env").read_text().split()
    named = dict(line.split("=", 1) for line in lines) | {"BROKER_URL": broker.url}
    made = House(installation, named=named, admin_url=database.admin_url)
    installation.start(**named)
    assert "Open http" in installation.printed_until("Open http")
    assert installation.process is not None
    loops.drained(installation.process.stdout)
    made.found()
    yield made
    for process in psutil.process_iter():
        if installation.owns(process):
            process.kill()


def test_the_servers_are_the_named_ones(house, database, broker):
    assert int(database.version().split(".")[0]) >= 15
    assert not (house.installation.data / "postgres").exists()
    house.installation.wait_for(lambda: house.installation.health()[0] == 200)
    assert [*(house.installation.data / "broker" / "messages").glob("*")] == []


def test_nothing_acknowledged_is_lost_while_processes_and_both_servers_die(house, database, broker):
    def servers_die() -> None:
        time.sleep(2)
        broker.kill()
        time.sleep(1)
        broker.start()
        database.stop_at_once()
        database.start()

    dying = threading.Thread(target=servers_die)
    dying.start()
    counts = loops.kill_loop(house, KILLS, random.Random(15), VICTIMS)
    dying.join()

    assert counts["acknowledged"] > KILLS
    assert counts["loads_applied"] > 0
    wrong = ("lost", "twice", "half_done", "loads_unfinished")
    assert {name: counts[name] for name in wrong} == dict.fromkeys(wrong, 0)


def test_of_many_at_one_moment_one_does_the_act(house):
    counts = loops.race_loop(house, 5)

    assert (counts["done_not_once"], counts["faults"]) == (0, 0)


def test_what_is_kept_lets_nobody_change_it(house):
    counts = loops.tamper_loop(house, 100, random.Random(15))

    assert counts["let_in"] == 0
