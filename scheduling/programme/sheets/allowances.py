"""Extensions of limits, and dispositions of directives."""

from __future__ import annotations

from dataclasses import fields

from equipment.common import lookups as equipment_lookups
from fleet.intake.columns import CODE
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.said import column_of, said_on
from fleet.loading.batch import Batch
from scheduling.models import Disposition, Extension, Limit
from scheduling.programme.acts.allowances import NewExtension, grant_extensions, why_not_extend
from scheduling.programme.acts.dispositions import (
    NEED_A_REASON,
    NewDisposition,
    disposition_directives,
)

from . import lookups
from .programmes import PROGRAMME
from .subjects import SUBJECT, subjects
from .works import facts_of


def bring_extensions(batch: Batch) -> None:
    programmes, about = lookups.programmes(batch), subjects(batch)
    rows = {
        line: said_on(
            NewExtension,
            batch.line(line),
            programme_id=programmes[line],
            unit_id=about[line][0],
            aircraft_id=about[line][1],
            position_id=about[line][2],
        )
        for line in batch.good
    }
    asked = tuple(each.name for each in fields(NewExtension))
    there = set(
        Extension.objects.filter(number__in=[r.number for r in rows.values()]).values_list(*asked)
    )
    for line, row in rows.items():
        facts = facts_of(row, asked)
        if facts in there:
            batch.know([line])
        there.add(facts)
    lines = batch.good
    for at, refusals in why_not_extend([rows[line] for line in lines]).items():
        for refusal in refusals:
            name = refusal.field if refusal.field in batch.table.columns else None
            batch.refuse(lines[at], name, refusal.code, refusal.message)
    if good := [rows[line] for line in batch.good]:
        grant_extensions(by=batch.bringing.by, rows=good, now=batch.bringing.at)
    batch.touch()


_ANOTHER_OF_THIS_DAY = (
    "This unit has another disposition of this day. The latest holds: give a later day."
)
_NO_DIRECTIVE = "This limit is no directive, so it has no dispositions. Name a directive."


def bring_dispositions(batch: Batch) -> None:
    units, limits = equipment_lookups.units(batch), lookups.limits(batch)
    directives = set(Limit.objects.filter(is_directive=True).values_list("pk", flat=True))
    columns = ("limit_id", "unit_id", "on", "sort", "reason", "document")
    there = {
        row[:3]: row[3:]
        for row in Disposition.objects.filter(unit__in=set(units) - {None}).values_list(*columns)
    }
    rows: dict[int, NewDisposition] = {}
    for line in batch.good:
        sort, reason, document = (
            batch[name][line] or "" for name in ("sort", "reason", "document")
        )
        key = (limits[line], units[line], batch["on"][line])
        if key in there and there[key] == (sort, reason, document):
            batch.know([line])
        elif key in there:
            batch.refuse(line, "on", "one_disposition_of_a_unit_per_day", _ANOTHER_OF_THIS_DAY)
        elif limits[line] not in directives:
            batch.refuse(line, "limit", "limit_no_directive", _NO_DIRECTIVE)
        elif sort in NEED_A_REASON and not (reason or document):
            batch.refuse(
                line,
                "reason",
                "disposition_without_reason",
                "Say why it does not apply, or how it was done, or by which document.",
            )
        else:
            there[key] = (sort, reason, document)
            rows[line] = NewDisposition(key[0], key[1], sort, key[2], reason, document)  # type: ignore[arg-type]
    if rows:
        disposition_directives(
            by=batch.bringing.by, rows=list(rows.values()), now=batch.bringing.at
        )
    batch.touch()


DISPOSITIONS = SheetKind(
    "Dispositions",
    "What a unit's case is for one paragraph of a directive, from a day on.",
    81,
    "disposition_directive",
    (
        PROGRAMME,
        Column("Limit", "limit", CODE, True, "Code of the directive.", ("directive",), most=40),
        Column(
            "Revision",
            "revision",
            CODE,
            meaning="The limit's revision; may be blank where it has one only.",
            aliases=("rev",),
            most=24,
        ),
        *unit_columns(),
        *(column_of(NewDisposition, name) for name in ("on", "sort", "reason", "document")),
    ),
    bring_dispositions,
    [
        [
            "EX-MP",
            "EX-DIR-1",
            "1",
            "EXMKR",
            "EX-20",
            "B0001",
            "2026-10-20",
            "complied",
            "Valve checked in place.",
            "EX-AD-01",
        ]
    ],
    aliases=("Directives",),
)

#: In the order of the sheet.
GRANTED = ("number", "granted_on", "days", "minutes", "count", "document", "approved_by")

EXTENSIONS = SheetKind(
    "Extensions",
    "Approved, numbered, one-time allowances.",
    82,
    "grant_extension",
    (
        PROGRAMME,
        column_of(NewExtension, "limit"),
        *SUBJECT,
        *(column_of(NewExtension, name) for name in GRANTED),
    ),
    bring_extensions,
    [
        [
            "EX-MP",
            "EX-OVH",
            "EXMKR",
            "EX-10",
            "S0001",
            "",
            "",
            "EX-EXT-1",
            "2026-11-02",
            30,
            "",
            "",
            "EX-EXT-1",
            "Example office",
        ]
    ],
)

SHEETS = (DISPOSITIONS, EXTENSIONS)
