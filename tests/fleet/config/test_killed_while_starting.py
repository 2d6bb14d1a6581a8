"""A backend is killed, and the database recovers, while a run begins: the house comes up, and stays."""

from __future__ import annotations

import contextlib
import os
import signal
from collections.abc import Iterator
from pathlib import Path

import psutil
import psycopg
import pytest

from fleet.config import postgres
from tests.faults.house import House
from tests.fleet.config.installation import Installation, brought_up

pytestmark = pytest.mark.slow
BLOCKED = "SELECT pid FROM pg_stat_activity WHERE wait_event_type = 'Lock'"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, shared_folder: Path) -> Iterator[Installation]:
    """A house whose database is up already; what it still runs at the end is ended."""
    made = brought_up(tmp_path_factory.mktemp("starting") / "data", shared_folder)
    postgres.start(House(made).server)
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            process.kill()


@contextlib.contextmanager
def held(made: Installation, table: str) -> Iterator[None]:
    """Whoever asks this table waits."""
    opened = psycopg.connect(House(made).url_of("postgres"))
    opened.execute(f"LOCK TABLE {table} IN ACCESS EXCLUSIVE MODE")
    yield
    opened.close()


def kill_who_waits(made: Installation) -> None:
    """This will kill the backend of whoever waits; the database ends all others, and recovers."""
    found: list[tuple[int]] = []
    made.wait_for(lambda: found.extend(House(made).asked(BLOCKED)) or found, 60)
    os.kill(found[0][0], signal.SIGKILL)


def test_a_step_of_the_start_is_done_once_more(made):
    with held(made, "django_migrations"):
        made.start()
        kill_who_waits(made)

        printed = made.printed_until("Open http")

    assert "Open http" in printed, printed
    assert "once more" in printed


def test_where_the_first_person_s_address_cannot_be_made_the_house_stays_up(made):
    with held(made, "fleet_user"):
        kill_who_waits(made)
        printed = made.printed_until("prints the address")

    made.wait_for(lambda: made.health()[0] == 200, 60)
    assert "prints the address" in printed
    assert made.process is not None and made.process.poll() is None
