"""Own spreadsheets brought, said of, kept as a mapping, and made a load that is compared first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from django.db import transaction

from fleet.house import desks
from fleet.house.refusals import Refused
from fleet.intake.problems import UnreadableFile
from fleet.loading.acts.loads import FOLDER, bring_load, keep_file, kept_path, most_bytes
from fleet.loading.own import day_of, sheets_in
from fleet.models import Load, OwnMapping, OwnWorkbook, User
from fleet.own_sheets.said import Said, said_of

ACT = "load_sheets"


@transaction.atomic
def bring_workbook(*, by: User, name: str, chunks: Iterable[bytes], at: dt.datetime) -> OwnWorkbook:
    """This will keep an own spreadsheet as it is, with nothing said of it yet.

    Refuses, at ``sheets``, a file that is too large or cannot be read, with one sentence.
    """
    desks.ask(by, ACT)
    digest, size = keep_file(name, chunks)
    workbook = OwnWorkbook(
        name=name[-200:],
        digest=digest,
        size=size,
        path=f"{FOLDER}/{digest}",
        brought_by=by,
        brought_at=at,
        changed_at=at,
    )
    try:
        raws = sheets_in(kept_path(workbook), name, most_bytes())
    except UnreadableFile as error:
        raise Refused(error.code, error.message, "sheets") from error
    if not any(any(map(any, raw.rows)) for raw in raws):
        raise Refused("file_empty", f"{name} holds no filled cell. Choose another file.", "sheets")
    workbook.save()
    return workbook


@transaction.atomic
def say_of_workbook(
    *, by: User, workbook: OwnWorkbook, said: Said, at: dt.datetime, mapping: str | None = None
) -> None:
    """This will keep what was said of a spreadsheet so far, with the mapping that it was known by."""
    desks.ask(by, ACT)
    workbook.said, workbook.changed_at, workbook.reading_fault = said.as_json(), at, ""
    if mapping is not None:
        workbook.mapping = mapping
    workbook.save(update_fields=["said", "changed_at", "mapping", "reading_fault"])


@transaction.atomic
def keep_mapping(
    *, by: User, workbook: OwnWorkbook, name: str, headings: Sequence[str], at: dt.datetime
) -> OwnMapping:
    """This will keep what columns and words mean under a name, for the next copy.

    A mapping of that name is replaced. Refuses (at ``mapping``) a name that is blank or too long.
    """
    desks.ask(by, ACT)
    name = " ".join(name.split())
    if not name or len(name) > 80:
        raise Refused(
            "mapping_name", "Give the mapping a name of at most 80 characters.", "mapping"
        )
    said = said_of(workbook.said).without_lines().as_json()
    kept, _ = OwnMapping.objects.update_or_create(
        name=name,
        defaults={"said": said, "headings": list(headings), "kept_by": by, "kept_at": at},
    )
    OwnWorkbook.objects.filter(pk=workbook.pk).update(mapping=name)
    return kept


@transaction.atomic
def compare_workbook(*, by: User, workbook: OwnWorkbook, at: dt.datetime, today: dt.date) -> Load:
    """This will bring a spreadsheet as a load that is read by what was said, compared, and then waits
    for a decision: nothing of it is taken yet."""
    desks.ask(by, ACT)
    said = said_of(workbook.said)
    said.day = day_of(said, today).isoformat()
    load = bring_load(
        by=by,
        files=[(workbook.name, _chunks(workbook))],
        at=at,
        own_said=said.as_json(),
    )
    OwnWorkbook.objects.filter(pk=workbook.pk).update(load=load, changed_at=at)
    return load


@transaction.atomic
def drop_workbook(*, by: User, workbook: OwnWorkbook) -> None:
    """This will forget a spreadsheet and what was said of it. What was taken of it stays on record."""
    desks.ask(by, ACT)
    OwnWorkbook.objects.filter(pk=workbook.pk).delete()


def _chunks(workbook: OwnWorkbook) -> Iterable[bytes]:
    with kept_path(workbook).open("rb") as opened:
        while chunk := opened.read(1 << 20):
            yield chunk


def ask_reading(*, workbook: OwnWorkbook) -> None:
    """This will ask the job to read a spreadsheet. What is read of it is no record, so nobody's permission is asked."""
    OwnWorkbook.objects.filter(pk=workbook.pk, is_reading_asked=False).update(
        is_reading_asked=True,
        reading_share=0,
        reading_words="Waiting for its turn",
        reading_fault="",
    )


def show_reading(*, workbook: OwnWorkbook, share: int, words: str) -> None:
    """This will show how far the job is, in percent."""
    OwnWorkbook.objects.filter(pk=workbook.pk).update(
        reading_share=share, reading_words=words[:120]
    )


def end_reading(*, workbook: OwnWorkbook, fault: str) -> None:
    """This will say that the job has read what was said by then; what was said since is asked for anew."""
    OwnWorkbook.objects.filter(pk=workbook.pk).update(
        is_reading_asked=False, reading_share=100, reading_words="", reading_fault=fault
    )
