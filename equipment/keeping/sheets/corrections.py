"""What turned out otherwise: movements that never happened, two units that are one; and sightings."""

from __future__ import annotations

from collections.abc import Collection
from uuid import UUID

from equipment.common import lookups
from equipment.keeping.correct import annul_movements
from equipment.keeping.merge import merge_units
from equipment.ledger.facts import AnnulmentFact, MergeFact
from equipment.models import Correction, Movement, Sighting
from fleet.intake.columns import CHOICE, INSTANT
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.said import column_of, columns_of
from fleet.loading.batch import Batch

from .known import Kept, Lines
from .replaced import replaced_movements
from .strict import record_strictly


def bring_annulments(batch: Batch) -> None:
    units = lookups.units(batch)
    told = ("part", "serial", "replaces_on", "replaces_sort")
    about = [(unit,) for unit in units]
    said = {"reason": batch["reason"]}
    acts = Lines(batch, "annulment", told, about, said, _annulled).new_acts()
    movements = replaced_movements(batch, units)
    rows = {
        line: AnnulmentFact(movements[line], batch["reason"][line], acts[line])
        for line in batch.good
        if line in movements
    }
    bringing = batch.bringing
    record_strictly(
        batch,
        rows,
        lambda facts: annul_movements(by=bringing.by, rows=facts, at=bringing.at),
        {"movement": "replaces_on", "reason": "reason"},
    )
    batch.touch()


def _annulled(acts: Collection[UUID]) -> dict[UUID, Kept]:
    unit = ("movement__unit", "movement__unit__merged_into")
    rows = Correction.objects.filter(act_id__in=acts).values_list("act_id", *unit, "reason")
    return {act: Kept((kept or unit,), {"reason": reason}) for act, unit, kept, reason in rows}


def bring_merges(batch: Batch) -> None:
    kept, absorbed = lookups.units(batch), lookups.units(batch, "absorbed_")
    rows: dict[int, MergeFact] = {}
    for line in batch.good:
        one, other = kept[line], absorbed[line]
        if one is None or other is None:
            continue
        if one != other:
            document = batch["document"][line] or ""
            rows[line] = MergeFact(one, other, batch["reason"][line], document)
        elif batch["serial"][line] == batch["absorbed_serial"][line] and (
            batch["part"][line] == batch["absorbed_part"][line]
        ):
            batch.refuse(
                line,
                "absorbed_serial",
                "a_unit_does_not_absorb_itself",
                "The line names one unit twice. Give the two numbers under which it is on record.",
            )
        else:
            batch.know([line])  # both names lead to the kept one: they were joined before
    bringing = batch.bringing
    record_strictly(
        batch,
        rows,
        lambda facts: merge_units(by=bringing.by, rows=facts, at=bringing.at),
        {"kept": "serial", "absorbed": "absorbed_serial", "reason": "reason"},
    )
    batch.touch()


#: What a line says besides when, where and which numbers were read.
_BESIDE = ("expiry_read", "gauge_read", "pin_read", "note")


def _seen(acts: Collection[UUID]) -> dict[UUID, Kept]:
    rows = Sighting.objects.filter(act_id__in=acts).values_list(
        "act_id", "unit", "unit__merged_into", *_BESIDE
    )
    return {
        act: Kept((kept or unit,), dict(zip(_BESIDE, said, strict=True)))
        for act, unit, kept, *said in rows
    }


ANNULMENTS = SheetKind(
    "Annulments",
    "Movements on record that never happened. A movement that happened otherwise is replaced in 'Movements'.",
    85,
    "correct_movement",
    (
        *unit_columns(),
        Column(
            "On",
            "replaces_on",
            INSTANT,
            True,
            "The day of the movement on record.",
            ("date", "happened on"),
        ),
        Column(
            "Movement",
            "replaces_sort",
            CHOICE,
            meaning="Which movement of that day it was.",
            choices=dict(Movement.SORTS),
        ),
        column_of(AnnulmentFact, "reason"),
    ),
    bring_annulments,
    [
        [
            "EXMKR",
            "EX-10",
            "S0002",
            "2026-11-05",
            "sent",
            "The order was cancelled; it never left the store.",
        ]
    ],
    aliases=("Corrections",),
)

MERGES = SheetKind(
    "Merges",
    "Two units on record that turned out to be one: the second one's facts count as the first one's.",
    86,
    "merge_units",
    (
        *unit_columns(),
        *unit_columns("Absorbed"),
        *columns_of(MergeFact),
    ),
    bring_merges,
    [
        [
            "EXMKR",
            "EX-20",
            "B0001",
            "EXMKR",
            "EX-20",
            "B1000",
            "Digits typed the wrong way round.",
            "EX-DQ-1",
        ]
    ],
)

SHEETS = (ANNULMENTS, MERGES)
