"""Rule sets: who may inspect, and what exactly is signed."""

from __future__ import annotations

from typing import Any

from equipment.models import RuleSet
from fleet.intake.columns import CODE, DAY, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded


def bring_rule_sets(batch: Batch) -> None:
    fields = (
        "code",
        "revision",
        "document",
        "from_on",
        "may_reinspect",
        "warns_same_mistake",
        "needs_dual_release",
        "step_statement",
        "inspection_statement",
        "reinspection_statement",
        "release_statement",
    )
    values: dict[str, list[Any]] = {name: batch[name] for name in fields}
    values["programme"] = [code or "" for code in batch["programme"]]
    values["aircraft_id"] = lookups.aircraft(batch)
    for line in batch.good:
        if values["programme"][line] and values["aircraft_id"][line]:
            words = "The rules are a programme's or an aircraft's, not both. Leave one blank."
            batch.refuse(line, "aircraft", "one_of_two", words)
    bring_plain(batch, RuleSet, key=("code", "revision"), values=values, fixed=recorded(batch))


_STATEMENT = 600
RULE_SETS = SheetKind(
    "Rule sets",
    "The operator's rules of signing: who may inspect, and what exactly is signed.",
    42,
    "enter_procedures",
    (
        Column("Code", "code", CODE, True, "Code of the rules.", most=24),
        Column("Revision", "revision", CODE, True, "Their revision.", ("rev",), most=24),
        Column("Document", "document", needed=True, meaning="The document that lays them down."),
        Column(
            "From",
            "from_on",
            DAY,
            True,
            "The first day on which they hold.",
            ("from on", "valid from"),
        ),
        Column(
            "Reinspection",
            "may_reinspect",
            YES_NO,
            meaning="yes: one person may inspect the own work again in unforeseen circumstances.",
        ),
        Column(
            "Same mistake warning",
            "warns_same_mistake",
            YES_NO,
            meaning="yes: warn who changes the same kind of unit at two doors in one visit.",
        ),
        Column(
            "Step statement",
            "step_statement",
            needed=True,
            meaning="What the sign-off of a step says.",
            most=400,
        ),
        Column(
            "Inspection statement",
            "inspection_statement",
            needed=True,
            meaning="What an independent inspection says.",
            most=400,
        ),
        Column(
            "Reinspection statement",
            "reinspection_statement",
            meaning="What a reinspection by the same person says.",
            most=400,
        ),
        Column(
            "Release statement",
            "release_statement",
            needed=True,
            meaning="What the sign-off of the whole swap says.",
            most=_STATEMENT,
        ),
        Column(
            "Programme", "programme", CODE, meaning="Only for aircraft that follow it.", most=32
        ),
        Column("Registration", "aircraft", CODE, meaning="Only for this aircraft.", most=12),
        Column(
            "Dual release",
            "needs_dual_release",
            YES_NO,
            meaning="yes: a unit that goes on needs a certificate of both authorities' rules.",
        ),
    ),
    bring_rule_sets,
    [
        [
            "EX-SIGN",
            "1",
            "EX-MOE-2",
            "2024-01-01",
            "no",
            "yes",
            "I have done this step.",
            "I have inspected this step independently.",
            "",
            "I certify that this work was carried out as the data named require.",
            "",
            "",
            "no",
        ]
    ],
)

SHEETS = (RULE_SETS,)
