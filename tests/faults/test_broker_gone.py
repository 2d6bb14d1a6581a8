"""A broker that is away delays nothing that a record touches, and loses nothing that is to be done."""

from __future__ import annotations

import time
from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone
from kombu.exceptions import OperationalError

from fleet.config.models import seconds_since_beat
from fleet.house.pages import today
from fleet.models import User
from scheduling import tasks
from scheduling.due.due_list import stored_day
from scheduling.models import DueItem, RecomputeRun
from scheduling.programme.acts.works import NewWork, record_works
from scheduling.reckoning import bulk

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def no_broker(monkeypatch):
    """The transport refuses every message, as when its server is not there."""

    def refuse(*args, **kwargs):
        raise OperationalError("no broker")

    monkeypatch.setattr(tasks.drain, "apply_async", refuse)


def test_a_record_stands_at_once_and_its_items_are_right(fleet, no_broker):
    tasks.nightly()
    by = User.objects.get(username="bench")
    before = DueItem.objects.get(unit=7, work__code="OVERHAUL")
    begun = time.monotonic()

    record_works(
        by=by,
        rows=[NewWork(work_id=1, unit_id=7, done_on=today(), act_id=uuid4(), result="passed")],
        now=timezone.now(),
    )

    assert time.monotonic() - begun < 2
    after = DueItem.objects.get(pk=before.pk)
    assert after.due_on > before.due_on
    assert not DueItem.objects.stale().exists()


def test_what_is_left_to_the_job_waits_as_a_row_and_is_drained(fleet, no_broker):
    from fleet.house.signals import facts_changed

    tasks.nightly()
    facts_changed.send(sender=None, unit_ids=None, aircraft_ids=None)
    assert RecomputeRun.objects.filter(finished_at=None).count() == 1

    tasks.drain()

    assert not RecomputeRun.objects.filter(finished_at=None).exists()


def test_a_missed_night_is_made_up_for_by_the_next_drain(fleet, no_broker):
    tasks.nightly()
    RecomputeRun.objects.update(as_of=today() - timedelta(days=1))
    assert stored_day() != today()

    tasks.drain()

    assert stored_day() == today()


def test_what_is_asked_for_while_a_run_is_at_work_keeps_its_turn(fleet, no_broker, monkeypatch):
    redo, late = bulk._redo, []

    def redo_and_be_asked(*args):
        redo(*args)
        if not late:
            late.append(bulk.ask_run(why="a load that ends now", as_of=today(), now=timezone.now()))

    monkeypatch.setattr(bulk, "_redo", redo_and_be_asked)

    bulk.recompute_all(as_of=today(), now=timezone.now())

    assert RecomputeRun.objects.get(finished_at=None) == late[0]
    assert bulk.finish_runs(as_of=today(), now=timezone.now()) == 1


def test_when_the_day_was_last_made_is_noted_by_the_night_and_by_a_drain_that_made_up_for_it(fleet):
    assert seconds_since_beat("night") is None
    tasks.drain.apply()
    first = seconds_since_beat("night")
    assert first is not None

    tasks.drain.apply()
    assert seconds_since_beat("night") > first  # nothing was made: nothing is noted

    tasks.nightly.apply()
    assert seconds_since_beat("night") < first + 1
