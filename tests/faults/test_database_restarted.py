"""A database stopped at once in mid-load: nothing is lost, doubled or half done; the worker finishes it."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psutil
import psycopg
import pytest

from fleet.bench.load_units import write_ground, write_units
from fleet.config import postgres
from fleet.config.postgres import Server
from tests.fleet.config.installation import Installation, brought_up
from tests.sweeps import many

pytestmark = [pytest.mark.slow, pytest.mark.sweep]
UNITS = many(120_000, 50_000)
BRING = """
from pathlib import Path
from django.utils import timezone
from fleet.loading.acts.loads import bring_load
from fleet.people.acts.people import NewPerson, found_house
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.models import User
people = User.objects.filter(username="kim")
if not people:
    found_house(administrator=NewPerson("kim", "Kim", "Ash", "a-long-pass-word", (CONTROLLER, ADMINISTRATOR)), at=timezone.now())
path = Path({path!r})
bring_load(by=people.get(), files=[(path.name, [path.read_bytes()])], at=timezone.now(), mode="good_lines")
"""


@pytest.fixture
def installation(tmp_path: Path, shared_folder: Path) -> Iterator[Installation]:
    made = brought_up(tmp_path / "data", shared_folder)
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            process.kill()


def asked(installation: Installation, sql: str) -> tuple[Any, ...]:
    """One row, asked of the installation's own server by its administrator."""
    password = json.loads((installation.data / "secrets.json").read_text())["admin_password"]
    url = Server(installation.data / "postgres").url("postgres", password, "greenband")
    with psycopg.connect(url) as opened:
        row = opened.execute(sql).fetchone()
    assert row is not None
    return tuple(row)


def is_up(installation: Installation) -> bool:
    with contextlib.suppress(psycopg.Error):
        return asked(installation, "SELECT 1") == (1,)
    return False


def latest(installation: Installation) -> tuple[Any, ...]:
    sql = "SELECT state, progress_words, tries, accepted, fault FROM fleet_load ORDER BY id DESC LIMIT 1"
    return asked(installation, sql)


def brought(installation: Installation, path: Path) -> None:
    done = installation.manage("shell", "-c", BRING.format(path=str(path)))
    assert done.returncode == 0, done.stderr


def test_a_restart_in_mid_load_loses_and_doubles_nothing(
    installation: Installation, tmp_path: Path
) -> None:
    ground, sheet = tmp_path / "ground.xlsx", tmp_path / "units.xlsx"
    write_ground(ground)
    write_units(sheet, UNITS)
    installation.start(DEMO="0")
    installation.printed_until("Open http")
    brought(installation, ground)
    installation.wait_for(lambda: latest(installation)[0] == "applied")

    brought(installation, sheet)
    installation.wait_for(lambda: "writing" in latest(installation)[1], seconds=60)
    server = Server(installation.data / "postgres")
    # Without waiting: by the time that it looks again, the next one may be up.
    postgres._pg(server, "pg_ctl", "-W", "-m", "immediate", "stop")
    # `make run` starts it again by itself.
    assert "starting it again" in installation.printed_until("PostgreSQL ended")
    installation.wait_for(lambda: is_up(installation), seconds=60)

    state, _, tries, accepted, _ = latest(installation)
    assert (state, tries, accepted) == ("applying", 1, 0)
    assert asked(installation, "SELECT count(*) FROM equipment_unit") == (0,)
    installation.wait_for(lambda: latest(installation)[0] != "applying", seconds=120)

    state, _, tries, accepted, fault = latest(installation)
    assert (state, tries, accepted, fault) == ("applied", 2, UNITS, "")
    counts = (
        "SELECT count(*), count(DISTINCT (original_part_id, serial_number)) FROM equipment_unit"
    )
    assert asked(installation, counts) == (UNITS, UNITS)
    assert asked(installation, "SELECT count(*) FROM fleet_loadline") == (0,)
    assert installation.health()[0] == 200
