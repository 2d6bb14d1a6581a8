"""Units and lots, and what they became: re-identified, or found to be one with another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from equipment.common import lookups
from equipment.ledger.facts import IdentificationFact, UnitFact
from equipment.models import Identification, PartNumber, Unit
from equipment.units.acts.bring_in import settle_identifications, tell_of_units
from fleet.intake.columns import CODE
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.said import column_of, columns_of
from fleet.intake.stamps import Stamp
from fleet.intake.words import confusable
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded

from .parts import part_columns

#: So many new units are told of one by one; more than these touch everything.
MOST_NAMED = 20_000


def days_of(stamps: Sequence[Stamp | None]) -> list[Any]:
    """The first day of each stamp."""
    return [None if stamp is None else stamp.on for stamp in stamps]


def precisions_of(stamps: Sequence[Stamp | None]) -> list[str | None]:
    return [None if stamp is None else stamp.precision for stamp in stamps]


def bring_units(batch: Batch) -> None:
    parts = lookups.parts(batch)
    _refuse_quantity(batch, parts)
    _warn_of_lookalikes(batch, parts)
    made = batch["manufactured_on"]
    values = {
        "original_part_id": parts,
        "serial_number": batch["serial"],
        "manufactured_on": days_of(made),
        "manufactured_precision": precisions_of(made),
        "stated_life_months": batch["stated_life_months"],
        "quantity": batch["quantity"],
        "note": batch["note"],
    }
    # The present part number and standard move on with identifications: these are the first ones.
    first = {"part_number_id": parts, "standard_id": lookups.standards(batch, parts)}
    new = bring_plain(
        batch,
        Unit,
        key=("original_part_id", "serial_number"),
        values=values,
        only_new=first,
        fixed={"recorded_at": batch.bringing.at},
        may_change=("note",),
    )
    if len(new) <= MOST_NAMED:
        batch.touch(units=_keys_of(parts, batch["serial"], new))


def _keys_of(parts: Sequence[Any], serials: Sequence[Any], lines: Sequence[int]) -> list[int]:
    """The units that these lines brought in."""
    named = {(parts[line], serials[line]) for line in lines}
    found = Unit.objects.filter(
        original_part__in={part for part, _ in named},
        serial_number__in=[serial for _, serial in named],
    ).values_list("original_part_id", "serial_number", "pk")
    return [key for *name, key in found if tuple(name) in named]


def _refuse_quantity(batch: Batch, parts: Sequence[int | None]) -> None:
    several = {count for count in set(batch["quantity"]) if count is not None and count != 1}
    if not several:
        return
    lots = set(PartNumber.objects.filter(is_lot=True).values_list("pk", flat=True))
    for line in batch.good:
        if batch["quantity"][line] in several and parts[line] not in lots:
            batch.refuse(
                line,
                "quantity",
                "not_a_lot",
                "This part number is not tracked by batch, so its quantity is 1. Correct the "
                "quantity, or mark the part number as a lot.",
            )


def _warn_of_lookalikes(batch: Batch, parts: Sequence[int | None]) -> None:
    """Serial numbers of one part that differ by O and 0, I and 1 only may be one unit typed twice."""
    serials = batch["serial"]
    looks = confusable("\n".join(serial or "" for serial in serials)).split("\n")
    if len(set(looks)) == len(looks):
        return
    if len(set(zip(parts, looks, strict=True))) == len(set(zip(parts, serials, strict=True))):
        return
    first: dict[tuple[int | None, str], int] = {}
    for line in batch.good:
        before = first.setdefault((parts[line], looks[line]), line)
        if serials[before] != serials[line]:
            batch.warn(
                line,
                "serial",
                "looks_alike",
                f"S/N {serials[line]} looks like S/N {serials[before]} in row {batch.table.rows[before]}. "
                "Both were taken; check that they are two units.",
            )


def bring_identifications(batch: Batch) -> None:
    units = lookups.units(batch)
    parts = lookups.parts(batch, "new_")
    values = {
        "unit_id": units,
        "from_on": batch["from_on"],
        "part_number_id": parts,
        "standard_id": lookups.standards(batch, parts),
        "document": batch["document"],
    }
    key = ("unit_id", "from_on")
    new = bring_plain(batch, Identification, key=key, values=values, fixed=recorded(batch))
    if new:
        settle_identifications(by=batch.bringing.by, today=batch.bringing.today)
        tell_of_units(by=batch.bringing.by, unit_ids=[units[line] for line in new])
    batch.touch()


UNITS = SheetKind(
    "Units",
    "Serialised units, and lots, each by its original part number and serial number.",
    60,
    "receive_unit",
    (
        *unit_columns(),
        Column(
            "Standard",
            "standard",
            CODE,
            meaning="Modification standard when first brought in.",
            aliases=("mod standard", "modification standard"),
            most=24,
        ),
        *columns_of(UnitFact),
    ),
    bring_units,
    [
        ["EXMKR", "EX-10", "S0001", "", "2019-03-14", "", "", ""],
        ["EXMKR", "EX-10", "S0002", "", "02/2021", "", "", "Spare"],
        ["EXMKR", "EX-20", "B0001", "", "FEB 21", "", "", ""],
        ["EXMKR", "EX-20", "B1000", "", "FEB 21", "", "", "See 'Merges'"],
    ],
    aliases=("Components", "Equipment", "Serials"),
)

IDENTIFICATIONS = SheetKind(
    "Identifications",
    "From which day a unit is another part number or standard, by which document.",
    70,
    "enter_part_data",
    (
        *unit_columns(),
        column_of(IdentificationFact, "from_on"),
        *part_columns("New"),
        Column(
            "Standard",
            "standard",
            CODE,
            meaning="Its modification standard from then on.",
            aliases=("new standard", "mod standard"),
            most=24,
        ),
        column_of(IdentificationFact, "document"),
    ),
    bring_identifications,
    [["EXMKR", "EX-10", "S0002", "2024-05-20", "EXMKR", "EX-11", "A", "EX-SB-01"]],
    aliases=("Re-identifications",),
)

SHEETS = (UNITS, IDENTIFICATIONS)
