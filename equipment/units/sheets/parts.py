"""Makers, part numbers, what they carry, where they go, what may stand for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from equipment.common import lookups
from equipment.models import (
    Alternate,
    Fit,
    Maker,
    MakerAlias,
    ModificationStandard,
    PartNumber,
    PartPosition,
)
from fleet.intake.columns import CHOICE, CODE, COUNT, LIST, NUMBER, YES_NO
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.loading import lookups as fleet_lookups
from fleet.loading.acts.bring_in import bring_in_rows
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, choices_of


def bring_makers(batch: Batch) -> None:
    owners = batch.bringing.looked_up("makers", lookups.all_makers)
    codes = dict(Maker.objects.values_list("code", "pk"))
    for line in batch.good:
        for alias in _aliases(batch["aliases"][line]):
            owner = owners.get(alias.upper())
            if owner is not None and owner != codes.get(batch["code"][line]):
                batch.refuse(
                    line,
                    "aliases",
                    "one_maker_per_alias",
                    f"'{alias}' names another maker already. Leave it out, or check the maker's code.",
                )
    values = {"code": batch["code"], "name": batch["name"]}
    lines = batch.good
    bring_plain(batch, Maker, key=("code",), values=values, may_change=("name",))
    _bring_aliases(batch, [line for line in lines if batch.outcomes[line] != "refused"])


def _aliases(text: str | None) -> list[str]:
    return [alias.strip() for alias in (text or "").split(";") if alias.strip()]


def _bring_aliases(batch: Batch, lines: list[int]) -> None:
    codes = dict(Maker.objects.values_list("code", "pk"))
    there = {alias.upper() for alias in MakerAlias.objects.values_list("alias", flat=True)}
    new: dict[str, tuple[int, str, int]] = {}
    for line in lines:
        for alias in _aliases(batch["aliases"][line]):
            if alias.upper() not in there:
                new[alias.upper()] = (codes[batch["code"][line]], alias, line)
    if new:
        bring_in_rows(
            by=batch.bringing.by,
            act=batch.table.kind.act,
            model=MakerAlias,
            columns={
                "maker_id": [k for k, _, _ in new.values()],
                "alias": [a for _, a, _ in new.values()],
            },
            fixed={},
        )
        batch.bringing.cache.clear()
        for _, _, line in new.values():
            batch.accept(line)


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
    }
    changing = ("description", "mass_kg", "dangerous_goods", "removed", "stated_life_months")
    bring_plain(batch, PartNumber, key=("maker_id", "number"), values=values, may_change=changing)


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


def bring_fits(batch: Batch) -> None:
    parts = lookups.parts(batch)
    outer = lookups.parts(batch, "inside_")
    for line in batch.good:
        on_aircraft = batch["aircraft_type"][line] is not None
        if on_aircraft == (outer[line] is not None):
            batch.refuse(
                line,
                "position",
                "a_fit_is_on_an_aircraft_or_inside_a_part",
                "A fit is either on an aircraft or inside a part: give the aircraft type, or the "
                "outer part number, and not both.",
            )
    types = fleet_lookups.types(batch)
    values: dict[str, Sequence[Any]] = {
        "part_number_id": parts,
        "type_position_id": fleet_lookups.type_positions(batch, types),
        "part_position_id": lookups.part_positions(batch, outer, "position"),
        "msn_from": [msn or "" for msn in batch["msn_from"]],
        "msn_to": batch["msn_to"],
        "standards": batch["standards"],
        "condition": batch["condition"],
        "document": batch["document"],
    }
    key = ("part_number_id", "type_position_id", "part_position_id", "msn_from")
    bring_plain(batch, Fit, key=key, values=values, may_change=("document",))


def bring_alternates(batch: Batch) -> None:
    parts, others = lookups.parts(batch), lookups.parts(batch, "alternate_")
    for line in batch.good:
        if parts[line] == others[line]:
            batch.refuse(
                line,
                "alternate_part",
                "a_part_is_not_its_own_alternate",
                "A part number is not its own alternate. Check one of the two.",
            )
    values = {
        "part_number_id": parts,
        "alternate_id": others,
        "is_two_way": batch["is_two_way"],
        "document": batch["document"],
    }
    key = ("part_number_id", "alternate_id")
    bring_plain(batch, Alternate, key=key, values=values, may_change=("document",))


def part_columns(what: str = "", *, needed: bool = True) -> tuple[Column, Column]:
    """The two columns that name a part number; ``what`` goes before the headings."""
    maker, part, _ = unit_columns(what, needed=needed)
    return maker, replace(part, meaning="The part number.")


_DOCUMENT = Column("Document", "document", meaning="What says so.")

MAKERS = SheetKind(
    "Makers",
    "Makers of parts, with the other names and codes under which they appear.",
    10,
    "enter_part_data",
    (
        Column(
            "Code",
            "code",
            CODE,
            True,
            "Short code of the maker.",
            ("maker", "cage", "cage code"),
            most=16,
        ),
        Column("Name", "name", needed=True, meaning="Its name."),
        Column(
            "Aliases",
            "aliases",
            meaning="Other names and codes, set apart by semicolons.",
            aliases=("also known as", "other names"),
            most=2000,
        ),
    ),
    bring_makers,
    [["EXMKR", "Example Maker", "EX MAKER LTD; E0X01"]],
    aliases=("Manufacturers",),
)

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
        _DOCUMENT,
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

FITS = SheetKind(
    "Fits",
    "Which part number may go where: a position of an aircraft type, or a position inside another part. A position without any fit takes every part of its own kind.",
    50,
    "enter_part_data",
    (
        *part_columns(),
        Column(
            "Aircraft type",
            "aircraft_type",
            CODE,
            meaning="Code of the type, for a position on aircraft.",
            aliases=("type",),
            most=24,
        ),
        *part_columns("Inside", needed=False),
        Column(
            "Position", "position", CODE, True, "Code of the position.", ("position code",), most=32
        ),
        Column("MSN from", "msn_from", CODE, meaning="First MSN; blank: no bound.", most=24),
        Column("MSN to", "msn_to", CODE, meaning="Last MSN; blank: no bound.", most=24),
        Column(
            "Standards",
            "standards",
            LIST,
            meaning="Modification standards that may go there; blank: all.",
        ),
        Column(
            "Condition",
            "condition",
            CHOICE,
            meaning="both sides the same, or blank.",
            choices=choices_of(Fit, "condition"),
        ),
        _DOCUMENT,
    ),
    bring_fits,
    [
        [
            "EXMKR",
            "EX-10",
            "EX-100",
            "",
            "",
            "D1L",
            "",
            "",
            "",
            "both sides the same",
            "EX-IPC 25-66",
        ],
        ["EXMKR", "EX-20", "", "EXMKR", "EX-10", "BTL", "", "", "", "", "EX-CMM 10"],
    ],
)

ALTERNATES = SheetKind(
    "Alternates",
    "Which part number may stand for which other.",
    50,
    "enter_part_data",
    (
        *part_columns(),
        *part_columns("Alternate"),
        Column(
            "Two-way",
            "is_two_way",
            YES_NO,
            meaning="yes if each may stand for the other.",
            aliases=("both ways",),
        ),
        _DOCUMENT,
    ),
    bring_alternates,
    [["EXMKR", "EX-10", "EXMKR", "EX-11", "no", "EX-IPC 25-66"]],
    aliases=("Interchangeability",),
)

SHEETS = (MAKERS, PART_NUMBERS, STANDARDS, INSIDE, FITS, ALTERNATES)
