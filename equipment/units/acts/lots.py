"""Lots: some of what is tracked by batch and quantity become a lot of their own."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.keeping.derive import told_together
from equipment.keeping.locks import lock
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, Recorded, UnitFact, When
from equipment.models import Movement, Stay, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import moment, number, row, text
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User

from .lot_facts import follow_lot
from .units import enter_units

#: Of a number of 40 letters what is left of it before its count.
MOST_STEM = 34


def split_lot(
    *,
    by: User,
    unit_id: int,
    quantity: int,
    serial_number: str,
    when: When,
    act_id: UUID,
    at: datetime,
    document: str = "",
) -> list[Recorded]:
    """This will make so many of a lot a lot of their own, in the same place; the rest stays the lot.

    First the new lot, then the rest. Refuses a lot that is not there then, more than it has less
    one, and a serial number that is on record. The same act again gives the first result.
    """
    ask(by, "receive_unit")
    ask(by, "record_movement")
    told = {"unit_id": unit_id, "quantity": quantity, "serial_number": serial_number}
    told |= {"when": when, "document": document}
    rows_left = Movement.objects.filter(act_id=act_id)
    with transaction.atomic():
        if not claim(act_id, "split_lot", told, by=by, at=at, earlier=[rows_left]):
            done = rows_left.filter(sort="split").order_by("pk")
            return [Recorded(m.pk, m.unit_id, m.is_conforming, is_new=False) for m in done]
        off = SplitOff(unit_id, quantity, when, serial_number, document)
        return split_off(by=by, off=off, act_id=act_id, at=at, is_strict=False)


@dataclass(frozen=True, slots=True)
class SplitOff:
    """So many of a lot that become one of their own; without a number they are given the lot's with the next count."""

    unit_id: int
    quantity: int
    when: When
    serial_number: str = ""
    document: str = ""
    reason: str = ""


def split_off(
    *, by: User, off: SplitOff, act_id: UUID, at: datetime, is_strict: bool = True
) -> list[Recorded]:
    """The same within an act that has asked for its own permission. What is on record of the lot holds of what is split
    off: papers, title, price, tag, holds, works done."""
    lock(places=(), units=[off.unit_id])
    lot = Unit.objects.select_related("part_number").filter(pk=off.unit_id).first()
    if lot is None:
        raise Refused("unknown_unit", "There is no such lot: look it up again.", "unit")
    there = _there(lot, off.when, off.quantity)
    serial = off.serial_number or next_number(lot)
    new = _new_lot(lot, serial, off.quantity, by=by, at=at)
    parts = ((new.pk, off.quantity), (lot.pk, there.quantity - off.quantity))
    rows = [
        MovementFact(
            unit,
            "split",
            there.place_id,
            off.when,
            document=off.document,
            reason=off.reason,
            quantity=count,
        )
        for unit, count in parts
    ]
    with told_together():
        made = record_asked(
            by=by, rows=rows, act_id=act_id, at=at, is_strict=is_strict, is_last_word=not is_strict
        )
        follow_lot(lot=lot, new=new, by=by, act_id=act_id, at=at)
    return made


def next_number(lot: Unit) -> str:
    """The lot's number with the next count that is free: ``LOT-17-2``, ``LOT-17-3``."""
    rows = Unit.objects.filter(original_part=lot.original_part_id)
    stem = lot.serial_number[:MOST_STEM]
    taken = set(
        rows.filter(serial_number__startswith=f"{stem}-").values_list("serial_number", flat=True)
    )
    return next(name for n in itertools.count(2) if (name := f"{stem}-{n}") not in taken)


def _there(lot: Unit, when: When, quantity: int) -> Stay:
    """Where the lot was then, with more than is split off."""
    stays = Stay.objects.filter(unit=lot, known__upper_inf=True, valid__contains=when.at)
    there = stays.first()
    if there is None:
        words = f"Nothing is recorded of {lot} then: record first where it was."
        raise Refused("nothing_recorded_before", words, "happened_on")
    if not 0 < quantity < there.quantity:
        words = f"{lot} had {there.quantity} then: split off at least one and leave at least one."
        raise Refused("quantity_not_there", words, "quantity")
    return there


def _new_lot(lot: Unit, serial_number: str, quantity: int, *, by: User, at: datetime) -> Unit:
    fact = UnitFact(
        original_part_id=lot.original_part_id,
        serial_number=serial_number,
        manufactured_on=lot.manufactured_on,
        manufactured_precision=lot.manufactured_precision,
        stated_life_months=lot.stated_life_months,
        quantity=quantity,
    )
    (entered,) = enter_units(by=by, rows=[fact], at=at)
    if not entered.is_new:
        words = f"{serial_number} is on record already: give the new lot a number of its own."
        raise Refused("unit_on_record", words, "serial_number")
    new = Unit.objects.get(pk=entered.id)
    new.part_number_id, new.standard_id, new.split_from = lot.part_number_id, lot.standard_id, lot
    new.save(update_fields=["part_number", "standard", "split_from"])
    return new


@dataclass(frozen=True, slots=True)
class LotSplit:
    """So many of a lot become a lot of their own, in the same place."""

    lot_id: int = row("Lot", Unit, "lot", help="A unit's id.")
    quantity: int = number("How many", least=1, most=100_000)
    serial_number: str = text("Number of the new lot", 40)
    happened_at: datetime = moment("When, in UTC")
    document: str = text("Document", 80, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotShown:
    unit: int = shown("unit_id", help="The new lot.")
    movement: int = shown("movement_id")
    is_conforming: bool


def _split_as_said(*, lot_id: int, happened_at: datetime, **told: Any) -> Recorded:
    """The new lot's row, of what a person says."""
    return split_lot(unit_id=lot_id, when=When(happened_at), **told)[0]


# --- declared ---------------------------------------------------------------------------------

SPLIT_LOT = Act(
    name="split_lot",
    does=_split_as_said,
    said=LotSplit,
    who="receive_unit",
    tag="Stores",
    summary="Split a lot",
    description="Makes so many of a lot a lot of their own, in the same place; the rest stays the lot.",
    address="lot-splits",
    example={
        "act_id": EXAMPLE_ID,
        "lot": 640,
        "quantity": 4,
        "serial_number": "BATCH-17-B",
        "happened_at": "2024-03-03T14:05:00Z",
        "document": "WO-2240",
    },
    shows=LotShown,
    answer={"unit": 641, "movement": 9102, "is_conforming": True},
)
