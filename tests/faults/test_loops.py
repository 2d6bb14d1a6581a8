"""Loops of kills, races, tampering and junk on a house at work; how many of each the environment says.

``make faults`` runs them longer and prints their counts: ``make faults KILLS=300``.
"""

from __future__ import annotations

import json
import os
import random
import sys
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from tests.fleet.config.installation import brought_up

from . import loops
from .house import House

pytestmark = pytest.mark.slow


def many(name: str, in_the_suite: int) -> int:
    return int(os.environ.get(name) or in_the_suite)


@pytest.fixture(scope="module")
def chance() -> random.Random:
    seed = many("SEED", random.SystemRandom().randrange(10**6))
    told({"seed": seed})
    return random.Random(seed)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, shared_folder: Path) -> Iterator[House]:
    made = House(brought_up(tmp_path_factory.mktemp("loops") / "data", shared_folder))
    made.installation.start()
    assert "Open http" in made.installation.printed_until("Open http")
    assert made.installation.process is not None
    loops.drained(made.installation.process.stdout)
    made.found()
    yield made
    for process in psutil.process_iter():
        if made.installation.owns(process):
            process.kill()


def told(counts: dict[str, int]) -> dict[str, int]:
    sys.stdout.write(f"{json.dumps(counts)}\n")
    return counts


def test_what_was_acknowledged_survives_every_kill(house, chance):
    counts = told(loops.kill_loop(house, many("KILLS", 12), chance))

    assert counts["acknowledged"] > counts["kills"]
    assert counts["loads_applied"] > 0
    wrong = ("lost", "twice", "half_done", "loads_unfinished")
    assert {name: counts[name] for name in wrong} == dict.fromkeys(wrong, 0)
    assert house.installation.manage("check_whereabouts").returncode == 0


def test_what_would_be_lost_is_counted(house):
    promised = loops.Promised(readings={"never recorded"}, loads={"nor this"})

    assert loops.compared(house, promised)["lost"] == 2


def test_of_many_at_one_moment_one_does_the_act(house):
    counts = told(loops.race_loop(house, many("RACES", 10)))

    assert (counts["done_not_once"], counts["faults"]) == (0, 0)


def test_what_is_kept_lets_nobody_change_it(house, chance):
    counts = told(loops.tamper_loop(house, many("TAMPERS", 150), chance))

    assert counts["let_in"] == 0


def test_junk_is_answered(house, chance):
    counts = told(loops.junk_loop(house, many("JUNK", 150), chance))

    assert counts["faults"] == 0
    assert house.installation.health()[0] == 200
