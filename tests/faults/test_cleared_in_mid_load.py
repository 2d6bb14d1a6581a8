"""PostgreSQL clears away dead rows while a load is open, and sees none of the load's own rows yet.

What it then notes, a table of many pages and no rows, makes it read whole tables again and again for
whatever the load asks next: the demonstration's load stood at one such question for five minutes.
It may happen whenever a load that was read, and so taken back, is applied within the minute.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from pathlib import Path
from threading import Event

import pytest
from django.db import connection, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from equipment.ledger.facts import UnitFact
from equipment.models import PartNumber, Unit
from equipment.units.acts.units import enter_units
from fleet.bench.load_units import write_ground, write_units
from fleet.config import roles
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.loading.batch import Bringing
from fleet.loading.outcomes import LoadResult
from fleet.loading.run import load_files
from fleet.models import User
from tests import builders as build
from tests.at_once import people
from tests.conftest import acting_as_owner

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
NOW = dt.datetime(2026, 11, 25, 9, 0, tzinfo=dt.UTC)
UNITS = 3000


@pytest.fixture(autouse=True)
def counts_as_noted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Other tests' tables are kept from such notes."""
    monkeypatch.setenv("COUNTS_AS_NOTED", "1")


@pytest.fixture
def cleaner() -> Iterator[BaseDatabaseWrapper]:
    """A connection of the tables' owner that clears away what is dead, as PostgreSQL does by itself:
    what somebody has locked it leaves for later."""
    other = connection.copy()
    other.settings_dict["OPTIONS"] = {**other.settings_dict["OPTIONS"], "assume_role": roles.OWNER}
    yield other
    other.close()


def cleared(cleaner: BaseDatabaseWrapper) -> None:
    with cleaner.cursor() as cursor:
        cursor.execute("VACUUM (SKIP_LOCKED, TRUNCATE off) equipment_unit")


def estimated() -> int:
    """How many units PostgreSQL believes that there are."""
    with connection.cursor() as cursor:
        cursor.execute("EXPLAIN (FORMAT JSON) SELECT FROM equipment_unit")
        return int(cursor.fetchone()[0][0]["Plan"]["Plan Rows"])


def noted() -> float:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT reltuples FROM pg_class WHERE relname = 'equipment_unit' AND relpages > 0"
        )
        return float(cursor.fetchone()[0])


@pytest.fixture
def units(tmp_path: Path) -> Path:
    """The sheet; what it names is on record, and nothing was ever noted of the table of units."""
    with acting_as_owner(), connection.cursor() as cursor:
        cursor.execute("TRUNCATE equipment_unit CASCADE")
    ground, sheet = tmp_path / "ground.xlsx", tmp_path / "units.xlsx"
    write_ground(ground)
    write_units(sheet, UNITS)
    assert brought(ground, lambda result: True).is_applied
    return sheet


def brought(path: Path, keep, progress=lambda done, total, words: None) -> LoadResult:
    by, _ = User.objects.get_or_create(username="kim", roles=[CONTROLLER, ADMINISTRATOR])
    bringing = Bringing(by=by, at=NOW, today=NOW.date(), key=uuid.uuid4())
    return load_files([(path, path.name)], bringing, keep=keep, progress=progress)


def test_what_is_cleared_in_mid_load_leaves_it_as_quick(units, cleaner):
    seen = []

    def clear_and_keep(result: LoadResult) -> bool:
        cleared(cleaner)
        seen.append(estimated())
        return True

    assert brought(units, clear_and_keep).is_applied
    assert seen[0] > UNITS / 10


def test_a_load_begun_with_a_wrong_note_is_as_quick(units, cleaner):
    with build.undone():  # an act that keeps nobody from clearing
        part = PartNumber.objects.first()
        rows = [UnitFact(part.pk, f"T{number}") for number in range(UNITS)]
        enter_units(by=build.a_person(), rows=rows, at=NOW)
        cleared(cleaner)
    assert noted() == 0
    seen = []

    assert brought(units, lambda result: bool(seen.append(estimated()) or True)).is_applied
    assert seen[0] > UNITS / 10


def test_one_file_brought_twice_at_one_moment_is_brought_once(units):
    with people() as at_once:
        results = at_once(*[lambda: brought(units, lambda result: True)] * 2)

    assert sorted((each.sheets[0].accepted, each.sheets[0].known) for each in results) == [
        (0, UNITS),
        (UNITS, 0),
    ]
    assert Unit.objects.count() == UNITS


def test_whoever_waits_for_another_load_is_told_so(units):
    said = []

    def first() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SELECT fleet_keep_counts()")
            has_it.set()
            waits.wait(30)

    def second() -> LoadResult:
        has_it.wait(30)
        return brought(units, lambda result: True, heard)

    def heard(done: int, total: int, words: str) -> None:
        said.append(words)
        if words.startswith("Waiting until the load before it"):
            waits.set()

    has_it, waits = Event(), Event()
    with people() as at_once:
        _, result = at_once(first, second)

    assert result.is_applied
    assert "Waiting until the load before it has ended" in said
