"""What was typed wrong of a unit is put right by a later fact: its date of manufacture, part, serial number."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.said import unit_row
from equipment.keeping.derive import derive, raise_stamps
from equipment.keeping.locks import lock
from equipment.models import Identification, PartNumber, Unit, UnitCorrection
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import stamp, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refused
from fleet.house.signals import facts_changed
from fleet.house.texts import refuse_blank
from fleet.models import User


@dataclass(frozen=True, slots=True)
class CorrectedUnit:
    """What a unit really is, where the record says otherwise; what is left out stays as it is."""

    unit_id: int = unit_row()
    reason: str = text(
        "What was wrong, and what says so",
        200,
        needed="Say what was wrong, and by what it is known.",
    )
    serial_number: str = text("Serial number", 40, default="", help="Empty: as it is.")
    part_number: str = text(
        "Original part number", 40, default="", help="A part number on record; empty: as it is."
    )
    maker: str = text(
        "Its maker", 16, default="", help="The maker's code, where two make that part number."
    )
    manufactured_on: date | None = stamp(
        "Manufactured on",
        "manufactured_precision",
        default=None,
        help="The day, or the month alone; empty: as it is.",
    )
    document: str = text("Document", 80, default="")
    manufactured_precision: str = "day"


@transaction.atomic
def correct_unit(
    *, by: User, correction: CorrectedUnit, act_id: UUID, at: datetime
) -> UnitCorrection:
    """This will put right what the record says of a unit, and keep what it said before, who corrected
    it and why. It stays the same unit, with its whole history.

    Refuses an unknown or merged unit, a correction of nothing or without a reason, a day that has not
    come, a part number that is not on record or that two make, and the identity of another unit.
    """
    ask(by, "correct_unit")
    rows = UnitCorrection.objects.filter(act_id=act_id)
    said = {"correction": correction}
    if done := done_before(act_id, "correct_unit", said, rows, by=by, at=at):
        return done
    reason = refuse_blank(
        correction.reason, "Say what was wrong, and by what it is known.", "reason", 200
    )
    lock(places=(), units=[correction.unit_id])
    unit = Unit.objects.filter(pk=correction.unit_id, merged_into=None).first()
    if unit is None:
        raise Refused("unknown_unit", "There is no such unit: look it up again.", "unit")
    before, after = _changed(unit, correction, at)
    _refuse_taken(unit, after)
    _put_right(unit, after, at)
    made = UnitCorrection.objects.create(
        unit=unit,
        act_id=act_id,
        before=_as_kept(before),
        after=_as_kept(after),
        reason=reason,
        document=correction.document.strip()[:80],
        recorded_at=at,
        recorded_by=by,
    )
    facts_changed.send(sender=correct_unit, unit_ids=[unit.pk], aircraft_ids=[])
    return made


def _put_right(unit: Unit, after: dict[str, Any], at: datetime) -> None:
    """This will write what is right; what the unit is now follows where it never was re-identified."""
    columns = list(after)
    for name, value in after.items():
        setattr(unit, name, value)
    if "original_part_id" in after and not Identification.objects.filter(unit=unit).exists():
        unit.part_number_id = after["original_part_id"]
        columns.append("part_number_id")
    unit.save(update_fields=columns)
    derive([unit.pk], at=at)
    raise_stamps([unit.pk])


def _changed(
    unit: Unit, said: CorrectedUnit, at: datetime
) -> tuple[dict[str, Any], dict[str, Any]]:
    """What the record says of the columns that change, and what it will say."""
    refuse_future(said.manufactured_on, at, "manufactured_on")
    wanted: dict[str, Any] = {}
    if serial := said.serial_number.strip().upper():
        wanted["serial_number"] = serial
    if said.part_number.strip() or said.maker.strip():
        wanted["original_part_id"] = _part(unit, said)
    if said.manufactured_on is not None:
        wanted["manufactured_on"] = said.manufactured_on
        wanted["manufactured_precision"] = said.manufactured_precision
    after = {name: value for name, value in wanted.items() if getattr(unit, name) != value}
    if not after:
        words = (
            "Nothing is other than on record: give the date, part or serial number that is right."
        )
        raise Refused("corrects_nothing", words, "serial_number")
    return {name: getattr(unit, name) for name in after}, after


def _part(unit: Unit, said: CorrectedUnit) -> int:
    number = said.part_number.strip() or unit.original_part.number
    found = PartNumber.objects.filter(number__iexact=number)
    if said.maker.strip():
        found = found.filter(maker__code__iexact=said.maker.strip())
    keys = list(found.values_list("pk", flat=True)[:2])
    if not keys:
        words = f"There is no part number “{number}” of such a maker on record: enter it first."
        raise Refused("unknown_part_number", words, "part_number")
    if len(keys) > 1:
        words = f"Part number {number} has several makers: give the maker's code."
        raise Refused("ambiguous_part_number", words, "maker")
    return keys[0]


def _refuse_taken(unit: Unit, after: dict[str, Any]) -> None:
    if not {"serial_number", "original_part_id"} & set(after):
        return
    part = after.get("original_part_id", unit.original_part_id)
    serial = after.get("serial_number", unit.serial_number)
    other = Unit.objects.filter(original_part=part, serial_number=serial).exclude(pk=unit.pk)
    if other.exists():
        words = (
            f"Another unit on record is of this part number and S/N {serial}. If the two are one, record"
            " a merge instead."
        )
        raise Refused("one_unit_of_this_maker_part_and_serial", words, "serial_number")


def _as_kept(facts: dict[str, Any]) -> dict[str, Any]:
    """As JSON has them: a part by its number, a day as it is written."""
    kept = {name: str(value) if isinstance(value, date) else value for name, value in facts.items()}
    if (key := kept.pop("original_part_id", None)) is not None:
        kept["part_number"] = PartNumber.objects.values_list("number", flat=True).get(pk=key)
    return kept


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCorrectionShown:
    unit: int = shown("unit_id")
    reason: str
    document: str
    recorded_at: datetime


# --- declared ---------------------------------------------------------------------------------

CORRECT_UNIT = Act(
    name="correct_unit",
    does=correct_unit,
    said=CorrectedUnit,
    as_="correction",
    tag="Units",
    summary="Correct a unit",
    description="Puts right what the record says of a unit's date of manufacture, original part or serial "
    "number. What it said before is kept, with who corrected it and why.",
    address="unit-corrections",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 512,
        "serial_number": "04106",
        "manufactured_on": "2019-02",
        "reason": "The sheet had lost the nought.",
        "document": "Plate, photo 12",
    },
    shows=UnitCorrectionShown,
    answer={
        "unit": 512,
        "reason": "The sheet had lost the nought.",
        "document": "Plate, photo 12",
        "recorded_at": "2024-03-01T10:00:00Z",
    },
)
