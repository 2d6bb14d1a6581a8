"""The job's part: one long paper after another, its rows read by and by, its progress kept beside it."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import islice

import structlog
from django.db import connection
from django.db.models import F

from equipment.common.listing import file_of
from equipment.common.pages.listed import is_demonstration
from equipment.common.paper import pages_in
from fleet.house.refusals import Refused
from fleet.words.said import count_words, moment_words
from scheduling.due.due_list import due_rows
from scheduling.due.exports import due_listing
from scheduling.due.lists.rows import DueRow
from scheduling.due.pages.pages import asked_words
from scheduling.models import PaperAsked

from ..kinds import MOST_ROWS, form_of_query

log = structlog.get_logger(__name__)
#: So many rows are read between two words of progress.
STEP = 1_000
KEPT = timedelta(days=2)
#: Begun so often and never finished, it is given up: something in it ends the process.
MOST_TRIES = 3
#: Of the lock that lets one process alone make one paper: its first key.
LOCK = 1_717_028


def make_papers(at: datetime) -> int:
    """This will make the paper that waits longest, unless another process is at it, and drop what is older than two
    days. A killed one is begun again. Returns how many were made."""
    PaperAsked.objects.filter(finished_at__lt=at - KEPT).delete()
    waiting = PaperAsked.objects.filter(finished_at=None).order_by("pk")
    for key in waiting.values_list("pk", flat=True)[:10]:
        if not _is_mine(key):
            continue
        try:
            _make(PaperAsked.objects.defer("content").select_related("asked_by").get(pk=key), at)
        finally:
            _let_go(key)
        return 1
    return 0


def _is_mine(key: int) -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_lock(%s, %s)", [LOCK, key % 2**31])
        return bool(cursor.fetchone()[0])


def _let_go(key: int) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_unlock(%s, %s)", [LOCK, key % 2**31])


def _make(paper: PaperAsked, at: datetime) -> None:
    """Every exception ends this paper with a sentence, and never the round."""
    mine = PaperAsked.objects.filter(pk=paper.pk)
    if paper.tries >= MOST_TRIES:
        mine.update(fault="It was cut off three times: take the workbook.", finished_at=at)
        return
    mine.update(tries=F("tries") + 1, rows=0)
    try:
        content = _content(paper)
    except Refused as refused:
        mine.update(fault=refused.message[:200], finished_at=at)
    except Exception:
        log.exception("paper not made", paper=paper.pk)
        mine.update(fault="It could not be made: take the workbook.", finished_at=at)
    else:
        mine.update(content=content, pages=pages_in(content), finished_at=at)


def _content(paper: PaperAsked) -> bytes:
    form = form_of_query(paper.query)
    rows: list[DueRow] = []
    every = due_rows(filters=form.filters(), as_of=paper.as_of)
    while part := list(islice(every, STEP)):
        rows += part
        if len(rows) > MOST_ROWS:
            words = (
                f"It has more than {count_words(MOST_ROWS)} rows: narrow it, or take the workbook."
            )
            raise Refused("too_long_for_paper", words)
        PaperAsked.objects.filter(pk=paper.pk).update(rows=len(rows))
    PaperAsked.objects.filter(pk=paper.pk).update(rows_in_all=len(rows))
    listing = due_listing(rows, paper.as_of, paper.address, asked_words(form))
    printed = f"Printed by {paper.asked_by.shown_name}, {moment_words(paper.asked_at)}."
    return file_of(listing, "pdf", printed=printed, is_demonstration=is_demonstration())
