"""A worker killed in mid-recompute leaves no wrong and no half list, and the next one finishes it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections import Counter
from datetime import timedelta

import pytest
from django.db import connection
from django.utils import timezone

from scheduling.due.due_list import due_rows, stored_day
from scheduling.due.lists import reckoned, stored
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.scope import scope_of
from scheduling.models import DueItem, RecomputeRun
from scheduling.reckoning import bulk

from .conftest import DAY, UNITS

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
NEXT_DAY = DAY + timedelta(days=40)
CELL = 100

WORKER = """
import datetime as dt, time
import django
from django.conf import settings
settings.DATABASES["default"].update({database!r})
django.setup()
from django.utils import timezone
from scheduling.reckoning import bulk

bulk.CELL_UNITS = {cell}
replace, done = bulk.replace, []

def slowly(*args, **kwargs):
    written = replace(*args, **kwargs)
    done.append(written)
    if len(done) == 3:
        print("in the third cell", flush=True)
        time.sleep(60)
    return written

bulk.replace = slowly
bulk.recompute_all(as_of=dt.date.fromisoformat({day!r}), now=timezone.now(), why="nightly")
"""


def killed_in_the_third_cell() -> None:
    names = ("NAME", "USER", "PASSWORD", "HOST", "PORT", "OPTIONS")
    database = {name: connection.settings_dict[name] for name in names}
    script = WORKER.format(database=database, cell=CELL, day=NEXT_DAY.isoformat())
    worker = subprocess.Popen(
        [sys.executable, "-c", script],
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "fleet.config.settings"},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert worker.stdout is not None
    assert worker.stdout.readline().strip() == "in the third cell"
    worker.send_signal(signal.SIGKILL)
    worker.wait()


def finished_by_the_next() -> int:
    until = time.monotonic() + 20
    while not (finished := bulk.finish_runs(as_of=NEXT_DAY, now=timezone.now())):
        assert time.monotonic() < until
        time.sleep(0.1)  # the server notices the lost session
    return finished


def listed(day):
    return list(due_rows(filters=DueFilters(), as_of=day))


def test_a_killed_run_leaves_no_wrong_list_and_the_next_one_finishes_it(fleet, monkeypatch):
    monkeypatch.setattr(bulk, "CELL_UNITS", CELL)
    bulk.recompute_all(as_of=DAY, now=timezone.now())
    before, after = (
        listed(DAY),
        [
            row.id
            for row in reckoned.listed(scope_of(DueFilters()), NEXT_DAY)
            .everything(scope_of(DueFilters()), 10**6)
            .__next__()
        ],
    )

    killed_in_the_third_cell()

    run = RecomputeRun.objects.get(finished_at=None)
    assert run.next_unit_id == 2 * CELL  # two cells are committed, the third is as it was
    of_a_unit = Counter(DueItem.objects.values_list("unit_id", flat=True))
    assert set(of_a_unit.values()) == {4} and len(of_a_unit) == UNITS
    assert stored_day() is None  # of two days: lists are reckoned, and right for either
    assert [row.id for row in listed(DAY)] == [row.id for row in before]
    assert [row.id for row in listed(NEXT_DAY)] == after

    assert finished_by_the_next() == 1

    assert stored_day() == NEXT_DAY
    assert [
        item.id for items in stored.everything(scope_of(DueFilters())) for item in items
    ] == after
    assert DueItem.objects.count() == 4 * UNITS


def test_only_one_runner_works_at_a_time(fleet):
    bulk.ask_run(why="asked for", as_of=DAY, now=timezone.now())
    other = connection.copy()
    with other.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_lock(%s)", [bulk._ONE_RUNNER])
    try:
        assert bulk.finish_runs(as_of=DAY, now=timezone.now()) == 0
    finally:
        other.close()

    until = time.monotonic() + 20
    while not bulk.finish_runs(as_of=DAY, now=timezone.now()):
        assert time.monotonic() < until
    assert stored_day() == DAY
