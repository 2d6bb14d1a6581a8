"""Sheets of the complement: cabins of aircraft, and what must be on board."""

from __future__ import annotations

from typing import Any

from equipment.models import Cabin, ComplementRule
from fleet.intake.columns import CHOICE, CODE, COUNT, YES_NO
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.intake.said import columns_of
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded

from .acts.cabins import NewCabin


def bring_cabins(batch: Batch) -> None:
    aircraft = lookups.aircraft(batch)
    for line in batch.good:
        seats, people = batch["seats"][line], batch["occupants"][line]
        if people < seats:
            words = (
                "Everybody on a passenger seat is on board. Give at least as many people as seats."
            )
            batch.refuse(line, "occupants", "fewer_people_than_seats", words)
        elif not batch["document"][line]:
            batch.refuse(line, "document", "missing", "Name the document that says so.")
    names = ("from_on", "seats", "occupants", "document")
    values: dict[str, list[Any]] = {name: batch[name] for name in names}
    values |= {"aircraft_id": aircraft, "is_overwater": [bool(x) for x in batch["is_overwater"]]}
    told = zip(aircraft, batch["from_on"], strict=True)
    acts = [batch.bringing.act_id("cabin", craft, day) for craft, day in told]
    bring_plain(
        batch,
        Cabin,
        key=("aircraft_id", "from_on"),
        values=values,
        only_new={"act_id": acts},
        fixed=recorded(batch),
    )


def bring_complements(batch: Batch) -> None:
    values: dict[str, list[Any]] = {
        "document": batch["document"],
        "kind_id": lookups.kinds(batch),
        "by": batch["by"],
        "seats_from": [seats or 0 for seats in batch["seats_from"]],
        "number": [1 if number is None else number for number in batch["number"]],
        "only_overwater": [bool(said) for said in batch["only_overwater"]],
        "aircraft_type_id": lookups.types(batch),
    }
    key = ("document", "kind_id", "by", "seats_from", "aircraft_type_id")
    bring_plain(batch, ComplementRule, key=key, values=values, fixed=recorded(batch))


CABINS = SheetKind(
    "Cabins",
    "From which day an aircraft has so many seats, carries so many people, and flies overwater or not.",
    55,
    "state_cabin",
    (NAMED_AIRCRAFT, *columns_of(NewCabin)),
    bring_cabins,
    [["Q-EXA", "2024-03-01", "186", "194", "yes", "LOPA 25-10-04"]],
)
COMPLEMENTS = SheetKind(
    "Required complement",
    "How many of a kind must be on board: by passenger seats, for each occupant, or by what rafts carry.",
    55,
    "enter_part_data",
    (
        Column("Document", "document", needed=True, meaning="The rule that asks for it.", most=80),
        Column("Kind", "kind", CODE, True, "Code of the kind.", most=24),
        Column(
            "By",
            "by",
            CHOICE,
            True,
            "passenger seats: so many from so many seats. occupants: so many for each person. raft"
            " capacity: they hold everybody with the largest lost.",
            choices=dict(ComplementRule.BY),
        ),
        Column("From seats", "seats_from", COUNT, meaning="From so many passenger seats on."),
        Column("Number", "number", COUNT, meaning="At least so many; blank: 1."),
        Column(
            "Only overwater",
            "only_overwater",
            YES_NO,
            meaning="yes: only of an aircraft that flies extended overwater.",
        ),
        Column(
            "Aircraft type",
            "aircraft_type",
            CODE,
            meaning="Only for this type; blank: all.",
            most=24,
        ),
    ),
    bring_complements,
    [
        ["EX-RULE 1", "EXSLIDE", "passenger seats", "7", "1", "", ""],
        ["EX-RULE 1", "EXSLIDE", "passenger seats", "31", "2", "", ""],
    ],
)

SHEETS = (CABINS, COMPLEMENTS)
