"""A job killed in the middle, facts that changed behind the list, a late reading: the list says so and heals."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import uuid
from collections.abc import Iterator
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.test import TransactionTestCase
from django.utils import timezone
from pytest_django.plugin import DjangoDbBlocker

from demo_fixtures.copies import reference_day
from fleet.actions.utilisation import NewReading, record_readings
from fleet.models import Aircraft, Measure, User, UtilisationReading
from scheduling.actions.bulk import finish_runs, recompute_all
from scheduling.actions.recompute import raise_unit_stamps, recompute_stale
from scheduling.models import DueItem, RecomputeRun
from scheduling.queries import stored_day

pytestmark = [pytest.mark.django_db(transaction=False), pytest.mark.slow]
DAY = reference_day()
NOW = timezone.now
# Stamps are counted on, whatever they stand for: they are left out where answers are compared.
ANSWERS = (
    "band",
    "sort_on",
    "due_on",
    "due_at_minutes",
    "due_at_cycles",
    "missing",
    "decided_by",
)

WORKER = """
import django; django.setup()
from datetime import date
from django.db import connection
connection.settings_dict.update({database!r})
from django.utils import timezone
from scheduling.actions import bulk
bulk.CELL_UNITS = 64
redo, done = bulk._redo, []

def slowly(cell, known, run):
    redo(cell, known, run)
    done.append(cell)
    if len(done) == 6:
        print("six cells", flush=True)
        __import__("time").sleep(60)

bulk._redo = slowly
bulk.recompute_all(as_of=date({day.year}, {day.month}, {day.day}), now=timezone.now(), why="to be killed")
"""


@pytest.fixture(scope="module")
def demonstration(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """Loaded once for its reference day; the tables are emptied after the last test."""
    with django_db_blocker.unblock():
        call_command("load_demo", today=DAY, stdout=StringIO())
        yield
        TransactionTestCase(methodName="__init__")._fixture_teardown()


def answers() -> dict[int, tuple[Any, ...]]:
    return {row[0]: row[1:] for row in DueItem.objects.values_list("id", *ANSWERS)}


def test_a_killed_job_leaves_no_half_list_and_the_next_one_finishes_it(
    demonstration: None, django_db_blocker: DjangoDbBlocker
) -> None:
    tomorrow = DAY + timedelta(days=1)
    before = set(DueItem.objects.values_list("id", flat=True))
    names = ("NAME", "USER", "PASSWORD", "HOST", "PORT", "OPTIONS")
    database = {name: connection.settings_dict[name] for name in names}

    worker = subprocess.Popen(
        [sys.executable, "-c", WORKER.format(database=database, day=tomorrow)],
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "fleet.config.settings"},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert worker.stdout is not None
    assert worker.stdout.readline().strip() == "six cells"
    worker.send_signal(signal.SIGKILL)
    worker.wait()

    run = RecomputeRun.objects.get(why="to be killed")
    assert run.finished_at is None
    assert set(DueItem.objects.values_list("id", flat=True)) == before  # nothing lost or doubled
    redone = DueItem.objects.filter(as_of=tomorrow, unit__isnull=False)
    assert redone.exists()
    assert not redone.filter(unit__gte=run.next_unit_id).exists()  # cells are whole
    try:
        assert finish_runs(as_of=tomorrow, now=NOW()) == 1
        assert stored_day() == tomorrow
        assert not RecomputeRun.objects.filter(finished_at=None).exists()
        finished = answers()
        recompute_all(as_of=tomorrow, now=NOW(), why="from nothing else")
        assert answers() == finished
    finally:
        RecomputeRun.objects.filter(finished_at=None).update(finished_at=NOW())
        recompute_all(as_of=DAY, now=NOW(), why="put back")


def test_an_item_whose_facts_changed_is_stale_until_the_drain_redoes_it(
    demonstration: None,
) -> None:
    item = DueItem.objects.filter(unit__isnull=False, as_of=DAY).order_by("pk").first()
    assert item is not None
    assert not DueItem.objects.stale().exists()

    raise_unit_stamps([item.unit_id])

    stale = DueItem.objects.stale()
    assert set(stale.values_list("unit_id", flat=True)) == {item.unit_id}
    assert recompute_stale(DAY) > 0
    assert not DueItem.objects.stale().exists()


def test_a_late_reading_moves_what_depends_on_it_and_nothing_else(demonstration: None) -> None:
    hours = Measure.objects.get(code="FH")
    last = (
        UtilisationReading.objects.filter(
            aircraft__registration="Q7-VAD", measure=hours, is_conforming=True, corrected_by=None
        )
        .order_by("-read_at", "-pk")
        .first()
    )
    assert last is not None
    before = answers()
    controller = User.objects.get(username="controller")

    record_readings(
        by=controller,
        now=NOW(),
        rows=[
            NewReading(
                aircraft_id=last.aircraft_id,
                measure_id=hours.pk,
                read_at=last.read_at + timedelta(hours=6),
                is_date_only=False,
                total=last.total + 6 * 60,
                act_id=uuid.uuid4(),
            )
        ],
    )
    while recompute_stale(DAY):
        pass

    after = answers()
    moved = {key for key in before if before[key] != after[key]}
    assert set(after) == set(before)
    assert moved, "an aircraft that flies has items by hours"
    craft = Aircraft.objects.get(registration="Q7-VAD")
    assert set(DueItem.objects.filter(pk__in=moved).values_list("aircraft_id", flat=True)) == {
        craft.pk
    }
    by_calendar = DueItem.objects.filter(pk__in=moved, due_at_minutes=None, due_at_cycles=None)
    assert not by_calendar.exists()
