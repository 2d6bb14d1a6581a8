"""The jobs: every night everything, and every few seconds what was left to do. Rows come first.

A message is only a nudge. Beat sends ``drain`` every twenty seconds, and what is to be done is
written in :class:`RecomputeRun` and in the stamps: a lost message, a dead worker or a broker that
is away loses nothing.
"""

from __future__ import annotations

from datetime import date, datetime

import structlog
from celery import shared_task
from django.db import transaction
from django.utils import timezone
from kombu.exceptions import OperationalError

from fleet.aircraft.acts.standing import settle_day
from fleet.house.pages import today
from scheduling.allocation.acts.make import renew_if_stale
from scheduling.due.due_list import stored_day
from scheduling.papers.acts.making import make_papers
from scheduling.pictures.acts.keeping import keep_for_pictures
from scheduling.reckoning.bulk import finish_runs, only_runner
from scheduling.reckoning.recompute import ask_run, recompute_stale
from scheduling.telling.acts.morning import tell_round

from .models import RecomputeRun

log = structlog.get_logger(__name__)
MOST_BATCHES = 10


@shared_task(name="scheduling.tasks.nightly", acks_late=True)
def nightly() -> bool:
    """This will ask for the new day's list and make it. Twice in a day it does nothing more.

    Returns whether the day's list is there: the house notes when that was last so.
    """
    day = today()
    ask_for_day(day, timezone.now())
    finish_runs(as_of=day, now=timezone.now())
    return stored_day() == day


@shared_task(name="scheduling.tasks.drain", acks_late=True)
def drain() -> bool:
    """This will finish what was asked for, and then what is stale, a bounded batch after another; and
    make the proposal of the allocation anew where facts differ from those it was made from.

    It asks for today's list too: the night's message may have been lost, or no worker was there.
    Returns whether that was so, and the list is there now.
    """
    day, was = today(), stored_day()
    ask_for_day(day, timezone.now())
    finish_runs(as_of=day, now=timezone.now())
    with only_runner(wait=False) as mine:
        for _ in range(MOST_BATCHES if mine and stored_day() == day else 0):
            if not recompute_stale(day):
                break
    if stored_day() == day:
        renew_if_stale(as_of=day, at=timezone.now())
    return was != day == stored_day()


@shared_task(name="scheduling.tasks.tell", acks_late=True)
def tell() -> int:
    """This will tell people what is to be told by now, by notices and by mail, and then make a long paper and keep what pictures of the
    past are drawn from, a bounded part at a time. Returns how many mails were sent."""
    sent = tell_round(today(), timezone.now())
    make_papers(timezone.now())
    keep_for_pictures(today(), timezone.now())
    return sent


def ask_for_day(day: date, now: datetime) -> None:
    """This will ask for a day's list unless it is there or a run is waiting, which will be for it."""
    waiting = RecomputeRun.objects.filter(finished_at=None, unit_ids=None)
    if stored_day() != day and not waiting.exists():
        settle_day(today=day)
        ask_run(why="nightly", as_of=day, now=now)


def drain_soon() -> None:
    """This will nudge the job once the transaction is done. A broker that is away is no matter."""
    transaction.on_commit(_nudge, robust=True)


def _nudge() -> None:
    try:
        drain.apply_async(retry=False, expires=60)
    except (OperationalError, OSError) as fault:
        log.warning("job not nudged, it will come by itself", reason=type(fault).__name__)
