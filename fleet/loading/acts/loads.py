"""Loads of sheets: brought, decided, and what became of them. The work itself is fleet.loading's."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from uuid import UUID, uuid4

from django.conf import settings
from django.db import transaction
from django.db.models import F

from fleet.acts.repeats import done_before
from fleet.house import desks
from fleet.house.refusals import Refused
from fleet.loading.outcomes import LoadResult
from fleet.models import Load, LoadFile, LoadLine, OwnWorkbook, User

from .bring_in import bring_in_rows

FOLDER = "uploads/loads"
#: A load in one of these is the job's to work on.
TO_WORK = (Load.WAITING, Load.READING, Load.APPLYING)
#: A load that was begun so often and never ended stops until a person starts it again.
MOST_TRIES = 3
STOPPED = (
    "This load was begun {tries} times and each time its worker or the database ended in the middle. "
    "It is not tried again by itself; nothing of it was applied. Split the files into smaller ones, "
    "or start it again once the cause is found."
)
DAYS = {"day-first", "iso", ""}
#: What became of a load; who brought what, and when, stays as it was.
RESULT = (
    "accepted",
    "refused",
    "known",
    "summary",
    "beside",
    "fault",
    "state",
    "applied_at",
    "progress_words",
    "progress_done",
    "progress_total",
)


def kept_path(file: LoadFile | OwnWorkbook) -> Path:
    """Where the file as it was brought lies."""
    return Path(settings.DATA_DIR) / file.path


@transaction.atomic
def bring_load(
    *,
    by: User,
    files: Sequence[tuple[str, Iterable[bytes]]],
    at: dt.datetime,
    dates: str = "",
    mode: str = "",
    act_id: UUID | None = None,
    own_said: dict[str, object] | None = None,
) -> Load:
    """This will keep files (name and contents in chunks) as a load waiting to be read.

    With ``mode`` given it is applied without a further decision; with ``own_said`` the files are own
    spreadsheets, read by it (:mod:`fleet.own_sheets`). ``act_id`` becomes the load's key: the same files
    sent again under it are the same load. Refuses a file that is larger than
    ``settings.LOAD_MOST_BYTES`` allows and a load without files; raises nothing for what is in them.
    """
    desks.ask(by, "load_sheets")
    _refuse_shape(files, dates, mode)
    kept = [(name[-200:], *keep_file(name, chunks)) for name, chunks in files]
    key = act_id or uuid4()
    told = _told(kept, dates, mode, own_said)
    rows = Load.objects.filter(key=key)
    if before := done_before(key, "bring_load", told, rows, by=by, at=at):
        return before
    load = Load.objects.create(
        key=key,
        brought_by=by,
        brought_as=by.acting_role or "",
        token=by.acting_token,
        brought_at=at,
        dates=dates,
        mode=mode,
        own_said=own_said,
        state=Load.APPLYING if mode else Load.WAITING,
        progress_words="Waiting its turn",
    )
    _note_files(load, kept)
    return load


def _told(
    kept: Sequence[tuple[str, str, int]], dates: str, mode: str, own_said: object
) -> dict[str, object]:
    """What was said with a load, by which one sent again is known as the same."""
    files = [(name, digest) for name, digest, _ in kept]
    said: dict[str, object] = {"files": files, "dates": dates, "mode": mode}
    return {**said, "own_said": own_said} if own_said else said


def _note_files(load: Load, kept: Sequence[tuple[str, str, int]]) -> None:
    LoadFile.objects.bulk_create(
        LoadFile(load=load, name=name, digest=digest, size=size, path=f"{FOLDER}/{digest}")
        for name, digest, size in kept
    )


def _refuse_shape(files: Sequence[object], dates: str, mode: str) -> None:
    if not files:
        raise Refused("no_file", "No file was brought. Choose one or several.", "files")
    if dates not in DAYS or mode not in {"", *dict(Load.MODES)}:
        raise Refused("unknown_choice", "Choose one of the offered ways of reading or applying.")


def most_bytes() -> int:
    """The size above which a file is refused before it is read."""
    return int(getattr(settings, "LOAD_MOST_BYTES", 64 * 2**20))


def keep_file(name: str, chunks: Iterable[bytes]) -> tuple[str, int]:
    """This will write a file under its digest, whole or not at all."""
    folder = Path(settings.DATA_DIR) / FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    digest, size, most = hashlib.sha256(), 0, most_bytes()
    with tempfile.NamedTemporaryFile(dir=folder, delete=False) as opened:
        try:
            for chunk in chunks:
                size += len(chunk)
                if size > most:
                    raise Refused(
                        "file_too_large",
                        f"{name} is larger than {most / 2**20:.0f} MB. Split it into several files and "
                        "bring them together.",
                        "files",
                    )
                digest.update(chunk)
                opened.write(chunk)
        except BaseException:
            os.unlink(opened.name)
            raise
    os.replace(opened.name, folder / digest.hexdigest())
    return digest.hexdigest(), size


@transaction.atomic
def decide_load(*, by: User, load: Load, mode: str) -> None:
    """This will have a load that was read applied: all or nothing, or the good lines.

    Refuses one that is not waiting for a decision, such as one decided a moment ago.
    """
    desks.ask(by, "load_sheets")
    if mode not in dict(Load.MODES):
        raise Refused("unknown_mode", "Choose all or nothing, or the good lines.", "mode")
    decided = Load.objects.filter(pk=load.pk, state=Load.READ).update(
        state=Load.APPLYING, mode=mode, tries=0, progress_done=0, progress_words="Waiting its turn"
    )
    if not decided:
        raise Refused(
            "not_waiting", "This load does not wait for a decision. Look at its page again."
        )
    load.refresh_from_db()


@transaction.atomic
def drop_load(*, by: User, load: Load) -> None:
    """This will set a load that was read aside: nothing of it is applied."""
    desks.ask(by, "load_sheets")
    if not Load.objects.filter(pk=load.pk, state=Load.READ).update(
        state=Load.REFUSED, progress_words="Set aside, nothing applied"
    ):
        raise Refused(
            "not_waiting", "This load does not wait for a decision. Look at its page again."
        )
    load.refresh_from_db()


@transaction.atomic
def restart_load(*, by: User, load: Load) -> None:
    """This will have a load that stopped at a fault tried again, as it was decided before.

    Refuses one that did not stop, such as one that somebody started again a moment ago.
    """
    desks.ask(by, "load_sheets")
    if not Load.objects.filter(pk=load.pk, state=Load.FAILED).update(
        state=Load.APPLYING if load.mode else Load.WAITING,
        tries=0,
        fault="",
        progress_done=0,
        progress_words="Waiting its turn",
    ):
        raise Refused(
            "not_stopped", "This load did not stop at a fault. Look at its page again.", "mode"
        )
    load.refresh_from_db()


def begin_work(*, load: Load) -> bool:
    """This will count a try of a load that waits for the job, and show that it is being read.

    After ``MOST_TRIES`` it stops the load instead, with a sentence on it, and says False.
    """
    if load.tries >= MOST_TRIES:
        record_fault(load=load, fault=STOPPED.format(tries=load.tries))
        return False
    state = Load.READING if load.state == Load.WAITING else load.state
    Load.objects.filter(pk=load.pk).update(
        state=state, tries=F("tries") + 1, progress_done=0, progress_total=0
    )
    load.refresh_from_db()
    return True


@transaction.atomic
def record_result(*, by: User, load: Load, result: LoadResult, at: dt.datetime) -> None:
    """This will record what became of a load, and each refused line and warning as brought."""
    LoadLine.objects.filter(load=load).delete()
    files = {file.name: file.pk for file in load.files.all()}
    rows = [row for sheet in result.sheets for row in sheet.lines()]
    bring_in_rows(
        by=by,
        act="load_sheets",
        model=LoadLine,
        columns={
            "file_id": [files.get(row.file) for row in rows],
            "sheet": [row.sheet[:80] for row in rows],
            "row": [row.row for row in rows],
            "outcome": [row.outcome for row in rows],
            "cell": [row.cell for row in rows],
            "code": [row.code for row in rows],
            "message": [row.message for row in rows],
            "values": [row.values for row in rows],
        },
        fixed={"load_id": load.pk},
    )
    load.accepted, load.refused, load.known = result.accepted, result.refused, result.known
    load.summary = result.summary()
    load.fault = ""
    if result.is_unread:
        load.state = Load.UNREADABLE
    elif load.state == Load.APPLYING:
        load.state = Load.APPLIED if result.is_applied else Load.REFUSED
        load.applied_at = at if result.is_applied else None
    else:
        load.state = Load.READ
    load.progress_words = ""
    load.progress_done = load.progress_total = result.accepted + result.refused + result.known
    load.save(update_fields=RESULT)


@transaction.atomic
def record_fault(*, load: Load, fault: str) -> None:
    """This will record that a load was stopped by a fault of the program; nothing was applied."""
    Load.objects.filter(pk=load.pk).update(state=Load.FAILED, fault=fault, progress_words="")


def show_progress(*, load_id: int, done: int, total: int, words: str, using: str) -> None:
    """This will show how far a load is, on a connection of its own (``using``)."""
    Load.objects.using(using).filter(pk=load_id).update(
        progress_done=done, progress_total=total, progress_words=words[:120]
    )
