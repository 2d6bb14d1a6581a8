"""Part numbers, their modification standards and the positions inside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from equipment.common import lookups
from equipment.keeping.derive import derive_of_parts
from equipment.models import (
    ModificationStandard,
    PartNumber,
    PartPosition,
)
from fleet.intake.columns import CHOICE, CODE, COUNT, NUMBER, YES_NO
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain


def bring_part_numbers(batch: Batch) -> None:
    values: dict[str, list[Any]] = {
        "maker_id": lookups.makers(batch),
        "number": batch["part"],
        "description": batch["description"],
        "kind_id": fleet_lookups.kinds(batch),
        "mass_kg": batch["mass_kg"],
        "removed": batch["removed"],
        "dangerous_goods": batch["dangerous_goods"],
        "is_lot": batch["is_lot"],
        "stated_life_months": batch["stated_life_months"],
        "carries": batch["carries"],
    }
    changing = (
        "description",
        "mass_kg",
        "dangerous_goods",
        "removed",
        "stated_life_months",
        "carries",
    )
    before = _removed(values["number"])
    bring_plain(batch, PartNumber, key=("maker_id", "number"), values=values, may_change=changing)
    after = _removed(values["number"])
    if moved := {key for key, removed in before.items() if after[key] != removed}:
        derive_of_parts(moved, at=batch.bringing.at)


def _removed(numbers: Sequence[Any]) -> dict[int, str]:
    """Where what is on record under these numbers comes off, by key."""
    found = PartNumber.objects.filter(number__in={each for each in numbers if each})
    return dict(found.values_list("pk", "removed"))


def bring_standards(batch: Batch) -> None:
    values = {
        "part_number_id": lookups.parts(batch),
        "code": batch["standard"],
        "document": batch["document"],
    }
    key = ("part_number_id", "code")
    bring_plain(batch, ModificationStandard, key=key, values=values, may_change=("document",))


def bring_inside(batch: Batch) -> None:
    values = {
        "part_number_id": lookups.parts(batch),
        "code": batch["position"],
        "name": batch["name"],
        "kind_id": fleet_lookups.kinds(batch),
        "capacity": batch["capacity"],
    }
    for line in batch.good:
        if batch["capacity"][line] == 0:
            batch.refuse(
                line,
                "capacity",
                "a_position_inside_holds_at_least_one",
                "A position inside holds at least one. Write 1 or more, or leave it blank.",
            )
    key = ("part_number_id", "code")
    bring_plain(batch, PartPosition, key=key, values=values, may_change=("name",))


def part_columns(what: str = "", *, needed: bool = True) -> tuple[Column, Column]:
    """The two columns that name a part number; ``what`` goes before the headings."""
    maker, part, _ = unit_columns(what, needed=needed)
    return maker, replace(part, meaning="The part number.")


DOCUMENT = Column("Document", "document", meaning="What says so.")

PART_NUMBERS = SheetKind(
    "Part numbers",
    "What units are: a maker's part number, its kind, and where it comes off.",
    30,
    "enter_part_data",
    (
        replace(unit_columns()[0], needed=True),
        Column(
            "Part number",
            "part",
            CODE,
            True,
            "The part number.",
            ("P/N", "PN", "part no", "number"),
            most=40,
        ),
        Column(
            "Description",
            "description",
            needed=True,
            meaning="What it is.",
            aliases=("name",),
            most=120,
        ),
        Column("Kind", "kind", CODE, True, "Code of its kind.", most=24),
        Column(
            "Mass (kg)", "mass_kg", NUMBER, meaning="Mass in kilograms.", aliases=("mass", "weight")
        ),
        Column(
            "Removed",
            "removed",
            CHOICE,
            meaning="on the line, or in the shop; blank: on the line.",
            choices={"line": "on the line", "shop": "in the shop"},
        ),
        Column(
            "Dangerous goods",
            "dangerous_goods",
            meaning="Class and UN number.",
            aliases=("dg",),
            most=24,
        ),
        Column(
            "Lot",
            "is_lot",
            YES_NO,
            meaning="yes if tracked by batch and quantity.",
            aliases=("tracked by lot",),
        ),
        Column(
            "Stated life (months)",
            "stated_life_months",
            COUNT,
            meaning="Life as its maker states it.",
            aliases=("stated life",),
        ),
        Column(
            "Carries (persons)",
            "carries",
            COUNT,
            meaning="Of a raft or slide-raft: how many persons it is rated for.",
            aliases=("capacity",),
        ),
    ),
    bring_part_numbers,
    [
        ["EXMKR", "EX-10", "Slide (example)", "EXSLIDE", "52.5", "on the line", "", "no", ""],
        [
            "EXMKR",
            "EX-11",
            "Slide, modified (example)",
            "EXSLIDE",
            "52.5",
            "on the line",
            "",
            "no",
            "",
        ],
        [
            "EXMKR",
            "EX-20",
            "Inflation bottle (example)",
            "EXBOTTLE",
            "9.1",
            "in the shop",
            "2.2 UN1066",
            "no",
            288,
        ],
    ],
    aliases=("Parts",),
)

STANDARDS = SheetKind(
    "Modification standards",
    "Modification standards of part numbers.",
    40,
    "enter_part_data",
    (
        *part_columns(),
        Column(
            "Standard",
            "standard",
            CODE,
            True,
            "Code of the standard.",
            ("mod standard", "code"),
            most=24,
        ),
        DOCUMENT,
    ),
    bring_standards,
    [["EXMKR", "EX-11", "A", "EX-SB-01"]],
    aliases=("Standards",),
)

INSIDE = SheetKind(
    "Positions inside",
    "The positions inside units of a part number, such as the bottle of a slide.",
    40,
    "enter_part_data",
    (
        *part_columns(),
        Column(
            "Position",
            "position",
            CODE,
            True,
            "Code of the position.",
            ("position code", "code"),
            most=32,
        ),
        Column("Name", "name", needed=True, meaning="Its name."),
        Column("Kind", "kind", CODE, True, "Code of the kind that goes there.", most=24),
        Column("Capacity", "capacity", COUNT, meaning="How many it holds; blank: 1."),
    ),
    bring_inside,
    [
        ["EXMKR", "EX-10", "BTL", "Inflation bottle", "EXBOTTLE", 1],
        ["EXMKR", "EX-11", "BTL", "Inflation bottle", "EXBOTTLE", 1],
    ],
)

SHEETS = (PART_NUMBERS, STANDARDS, INSIDE)
