"""Works that were done."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

from fleet.house import pace
from fleet.intake.columns import CHOICE, CODE, COUNT, DAY, HOURS, STAMP, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.words.said import count_words
from scheduling.models import WorkDone
from scheduling.programme.acts.works import NewWork, not_shown_words, record_works, why_not_done

from . import lookups
from .amounts import in_small_letters
from .subjects import SUBJECT, Subject, subjects

#: What the sheet says of a work besides its subject; blank is the act's default.
_SAID = (
    "released_on",
    "shop_released_on",
    "original_due_on",
    "original_due_minutes",
    "original_due_cycles",
    "total_minutes",
    "total_cycles",
    "result",
    "who",
    "authorisation",
    "document",
    "certificate",
)
_FACTS = tuple(
    each.name
    for each in fields(NewWork)
    if each.name not in {"act_id", "corrects_id", "is_annulment"}
)
_KEY = ("work_id", "unit_id", "aircraft_id", "position_id", "limit_code", "done_on")


def bring_works_done(batch: Batch) -> None:
    """A work on record of the same subject, limit and day is replaced only by a marked correction."""
    about = subjects(batch)
    _refuse_impossible(batch)
    rows = _works_said(batch, lookups.works(batch), about)
    pace.reached(0.2, "comparing with what is on record")
    standing, ever = _on_record(about)
    to_record: dict[int, NewWork] = {}
    for line, row in rows.items():
        key, facts = facts_of(row, _KEY), facts_of(row, _FACTS)
        there, is_correction = standing.get(key), bool(batch["correction"][line])
        if facts in ever and (there is None or there[1] == facts or not is_correction):
            batch.know([line])
        elif (there is not None) != is_correction or (there and there[0] is None):
            _refuse_standing(batch, line, is_correction)
        else:
            corrects = there[0] if there else None
            act_id = batch.bringing.act_id("work", *facts, corrects)
            to_record[line] = replace(row, corrects_id=corrects, act_id=act_id)
            standing[key] = (None, facts)
            ever.add(facts)
    _warn_of_unshown(batch, to_record)
    if to_record:
        with pace.part(0.4, 1):
            record_works(by=batch.bringing.by, rows=list(to_record.values()), now=batch.bringing.at)
    batch.touch()


def _warn_of_unshown(batch: Batch, rows: dict[int, NewWork]) -> None:
    """One word for all lines: a sheet brings what was done before, by whoever it was."""
    lines = [line for line, row in rows.items() if not_shown_words(row)]
    if lines:
        is_one = len(lines) == 1
        words = (
            f"{count_words(len(lines))} {'line names' if is_one else 'lines name'} nobody who did the work, or no"
            " paper that shows it. It counts, and the history of each says so."
        )
        batch.warn(lines[0], "who", "work_not_shown", words)


def facts_of(row: object, names: tuple[str, ...]) -> tuple[Any, ...]:
    return tuple(getattr(row, name) for name in names)


def _works_said(batch: Batch, works: list[int | None], about: list[Subject]) -> dict[int, NewWork]:
    methods = in_small_letters(batch["method"])
    rows = {}
    for line in batch.good:
        said = {name: batch[name][line] for name in _SAID if batch[name][line] is not None}
        said.setdefault("result", "passed")  # as the column says of a blank
        unit, craft, position = about[line]
        stamp = batch["done_on"][line]
        rows[line] = NewWork(
            work_id=works[line],  # type: ignore[arg-type]
            done_on=stamp.on,
            precision=stamp.precision,
            act_id=batch.bringing.key,
            unit_id=unit,
            aircraft_id=craft,
            position_id=position,
            limit_code=batch["limit"][line] or "",
            method=methods[line] or "",
            **said,
        )
    return rows


OnRecord = dict[tuple[Any, ...], tuple[int | None, tuple[Any, ...]]]


def _on_record(about: list[Subject]) -> tuple[OnRecord, set[tuple[Any, ...]]]:
    """The work that stands, by work, subject, limit and day; and all that were ever recorded."""
    standing: OnRecord = {}
    ever: set[tuple[Any, ...]] = set()
    places = [_FACTS.index(name) for name in _KEY]
    for index, name in enumerate(("unit", "aircraft", "position")):
        keys = {subject[index] for subject in about} - {None}
        if not keys:
            continue
        done = WorkDone.objects.filter(**{f"{name}__in": keys}, is_annulment=False)
        for *facts, pk, corrected_by in done.values_list(*_FACTS, "pk", "corrected_by"):
            ever.add(tuple(facts))
            if corrected_by is None:
                standing[tuple(facts[place] for place in places)] = (pk, tuple(facts))
    return standing, ever


def _refuse_impossible(batch: Batch) -> None:
    for line in batch.good:
        stamp, released = batch["done_on"][line], batch["released_on"][line]
        if why := why_not_done(stamp.on, batch.bringing.at):
            batch.refuse(line, "done_on", why[0].code, why[0].message)
        elif released and stamp.precision == "day" and released < stamp.on:
            batch.refuse(
                line,
                "released_on",
                "release_before_work",
                "The release is before the work. Change one of the dates.",
            )


def _refuse_standing(batch: Batch, line: int, is_correction: bool) -> None:
    if is_correction:
        batch.refuse(
            line,
            "correction",
            "nothing_to_correct",
            "There is no such work of this day on record to correct. Leave 'Correction' blank, or "
            "check the day.",
        )
    else:
        batch.refuse(
            line,
            None,
            "work_stands",
            "This work is on record for this day with other facts. If this line is right, write yes "
            "under 'Correction'.",
        )


WORKS_DONE = SheetKind(
    "Works done",
    "Works that were done on units, aircraft or positions: what due dates count from.",
    81,
    "record_work",
    (
        *SUBJECT,
        Column("Work", "work", CODE, True, "Code of the work.", most=24),
        Column(
            "Limit",
            "limit",
            CODE,
            meaning="Only this limit's; blank: all limits that the work resets.",
            most=40,
        ),
        Column(
            "Done on", "done_on", STAMP, True, "Day, or month as stamped.", ("date", "last done")
        ),
        Column(
            "Released on", "released_on", DAY, meaning="Day of the aircraft's release to service."
        ),
        Column(
            "Shop released on",
            "shop_released_on",
            DAY,
            meaning="Day of the shop's release.",
            aliases=("shop release",),
        ),
        Column(
            "Original due on",
            "original_due_on",
            DAY,
            meaning="Where done inside the permitted variation; blank: as the works before it tell.",
        ),
        Column(
            "Original due hours",
            "original_due_minutes",
            HOURS,
            meaning="Its own total at which it was due; likewise.",
        ),
        Column("Original due cycles", "original_due_cycles", COUNT, meaning="Likewise."),
        Column("Method", "method", meaning="How, such as proof pressure.", most=24),
        Column(
            "Hours",
            "total_minutes",
            HOURS,
            meaning="The unit's or aircraft's own total at the work.",
            aliases=("tsn",),
        ),
        Column("Cycles", "total_cycles", COUNT, meaning="Likewise.", aliases=("csn",)),
        Column(
            "Result",
            "result",
            CHOICE,
            meaning="passed or failed; in a sheet, blank is passed.",
            choices={"passed": "passed", "failed": "failed"},
        ),
        Column("Who", "who", meaning="Who did it."),
        Column(
            "Authorisation",
            "authorisation",
            meaning="Under which it was done: a licence's number, or an approval's.",
            most=40,
        ),
        Column("Document", "document", meaning="Order or task card."),
        Column("Certificate", "certificate", CODE, meaning="Number of the release.", most=40),
        Column(
            "Correction",
            "correction",
            YES_NO,
            meaning="yes: this line replaces the record of the same work, subject and day.",
        ),
    ),
    bring_works_done,
    [
        [
            "EXMKR",
            "EX-10",
            "S0001",
            "",
            "",
            "EXOVH",
            "",
            "2024-01-31",
            "",
            "2024-01-31",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "Example Shop",
            "",
            "EX-4711",
            "EX-4711",
            "",
        ],
        [
            "EXMKR",
            "EX-20",
            "B0001",
            "",
            "",
            "EXHYD",
            "",
            "02/2024",
            "",
            "",
            "",
            "",
            "",
            "proof",
            "",
            "",
            "passed",
            "Example Shop",
            "",
            "EX-4712",
            "",
            "",
        ],
    ],
    aliases=("Last done", "Compliance"),
)

SHEETS = (WORKS_DONE,)
