"""Where part numbers may go, and which may stand for which."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from equipment.common import lookups
from equipment.models import Alternate, Fit
from fleet.intake.columns import CHOICE, CODE, LIST, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, choices_of

from .parts import DOCUMENT, part_columns


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
        DOCUMENT,
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
        DOCUMENT,
    ),
    bring_alternates,
    [["EXMKR", "EX-10", "EXMKR", "EX-11", "no", "EX-IPC 25-66"]],
    aliases=("Interchangeability",),
)

SHEETS = (FITS, ALTERNATES)
