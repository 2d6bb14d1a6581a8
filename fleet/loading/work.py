"""The job's part of a load: claimed, read or applied, shown as it goes, finished whoever died before."""

from __future__ import annotations

import datetime as dt
import logging
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from django.db import DatabaseError, InterfaceError, OperationalError, connection, connections

from fleet.doors.tokens import is_within_rights
from fleet.house.refusals import Refused
from fleet.loading.acts.loads import (
    TO_WORK,
    begin_work,
    kept_path,
    most_bytes,
    record_fault,
    record_result,
    show_progress,
)
from fleet.models import Load, User

from .batch import Bringing
from .outcomes import LoadResult
from .own import OwnReader
from .run import Progress, load_files

log = logging.getLogger(__name__)
_CLAIM = 0x10AD  # with the load's key: one session works one load
_PROGRESS = "progress of loads"
_EVERY = 0.5  # seconds between two updates of what is shown


def drain(*, now: Callable[[], dt.datetime], today: dt.date) -> int:
    """This will work on every load that waits, one after another, and say how many it did."""
    done = 0
    for key in Load.objects.filter(state__in=TO_WORK).order_by("pk").values_list("pk", flat=True):
        done += work_on(load_id=key, now=now, today=today) is not None
    return done


def work_on(
    *,
    load_id: int,
    now: Callable[[], dt.datetime],
    today: dt.date,
    also_show: Progress = lambda done, total, words: None,
) -> LoadResult | None:
    """This will read a load, or apply one that was decided; None if another session has it.

    All that it brings in and the load's own row are one transaction: killed at any point, the load
    stands as before and the next one begins anew, a few times (``MOST_TRIES``). A fault of the
    program is recorded on the row. How far it is stands on the row, and goes to ``also_show``.
    """
    with _claimed(load_id) as is_mine:
        load = Load.objects.filter(pk=load_id, state__in=TO_WORK).first() if is_mine else None
        if load is None or load.brought_by is None:
            return None
        if not begin_work(load=load):
            return None
        try:
            with _progress_of(load_id, also_show) as progress:
                return _work(load, Bringing(_bringer_of(load), now(), today, load.key), progress)
        except (OperationalError, InterfaceError):
            raise  # the database went away: the load waits for its next turn
        except Refused as refused:
            record_fault(load=load, fault=refused.message)
        except Exception as error:
            log.exception("load %s was stopped by a fault", load_id)
            record_fault(
                load=load,
                fault=f"The program stopped at a fault of its own ({type(error).__name__}); nothing was applied. Tell whoever looks after it.",
            )
        return None


def _bringer_of(load: Load) -> User:
    """Whoever brought it, with the rights that the load has: a token's one role, if still held."""
    assert load.brought_by is not None
    by = load.brought_by
    if load.brought_as:
        by.acting_token = load.token
        by.acting_role = load.brought_as if is_within_rights(load.brought_as, by) else ""
    return by


def _work(load: Load, bringing: Bringing, progress: Progress) -> LoadResult:
    is_applying = load.state == Load.APPLYING
    good_lines = load.mode == Load.GOOD_LINES

    reader = None if load.own_said is None else OwnReader(load.own_said, bringing.today)

    def keep(result: LoadResult) -> bool:
        if reader is not None:
            load.beside = reader.beside()
        return is_applying and not result.is_unread and (good_lines or result.is_clean)

    def at_end(result: LoadResult) -> None:
        record_result(by=bringing.by, load=load, result=result, at=bringing.at)

    result = load_files(
        [(kept_path(file), file.name) for file in load.files.order_by("pk")],
        bringing,
        keep=keep,
        ways=load.dates,
        most_bytes=most_bytes(),
        progress=progress,
        at_end=at_end,
        reader=reader,
    )
    if not result.is_applied:
        at_end(result)
    return result


@contextmanager
def _claimed(load_id: int) -> Iterator[bool]:
    """A lock that ends with the session, however it ends."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_lock(%s, %s)", [_CLAIM, load_id])
        is_mine = bool(cursor.fetchone()[0])
    try:
        yield is_mine
    finally:
        if is_mine:
            with suppress(DatabaseError, InterfaceError), connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_unlock(%s, %s)", [_CLAIM, load_id])


@contextmanager
def _progress_of(load_id: int, also_show: Progress) -> Iterator[Progress]:
    """Progress goes by a connection of its own, to be seen while the load's transaction is open."""
    connections[_PROGRESS] = connection.copy(_PROGRESS)
    shown_at = 0.0

    def show(done: int, total: int, words: str) -> None:
        nonlocal shown_at
        also_show(done, total, words)
        if time.monotonic() - shown_at >= _EVERY:
            shown_at = time.monotonic()
            with suppress(DatabaseError, InterfaceError):
                show_progress(load_id=load_id, done=done, total=total, words=words, using=_PROGRESS)

    try:
        yield show
    finally:
        connections[_PROGRESS].close()
        del connections[_PROGRESS]
