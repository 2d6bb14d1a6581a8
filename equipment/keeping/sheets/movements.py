"""Movements: where units went, and when."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from equipment.common import lookups
from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt
from equipment.ledger.moments import When
from equipment.models import Movement
from equipment.models.movements import BY
from fleet.house import pace
from fleet.intake.columns import CHOICE, CODE, COUNT, HOURS, INSTANT, YES_NO
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.loading.batch import Batch

from .known_movements import lines_of_movements
from .named_places import place_of, places_of, when_of, zone_of
from .replaced import replaced_movements
from .strict import record_strictly


def bring_movements(batch: Batch) -> None:
    units = lookups.units(batch)
    places = places_of(batch)
    pace.reached(0.15, "finding which lines are known")
    acts = lines_of_movements(batch, units, places.parents).new_acts()
    replaced = replaced_movements(batch, units)
    rows: dict[int, MovementFact] = {}
    pace.reached(0.25, "putting its lines together")
    for line in batch.good:
        place = place_of(batch, places, line)
        if isinstance(place, PlaceAt):
            fact = _fact(batch, line, place, zone_of(batch, places, line))
            rows[line] = replace(
                fact, unit_id=units[line] or 0, act_id=acts[line], corrects=replaced.get(line)
            )
    with pace.part(0.35, 1):
        record_strictly(batch, rows, partial(_record, batch), _COLUMN_OF)
    batch.touch()


def _record(batch: Batch, rows: list[MovementFact]) -> None:
    bringing = batch.bringing
    record_movements(by=bringing.by, rows=rows, act_id=bringing.key, at=bringing.at, is_strict=True)


def _fact(batch: Batch, line: int, place: PlaceAt, zone: str) -> MovementFact:
    return MovementFact(
        unit_id=0,
        sort=batch["sort"][line],
        to=place,
        when=_when(batch, line, zone),
        day_order=batch["order"][line] or 0,
        aircraft_minutes=batch["minutes"][line],
        aircraft_cycles=batch["cycles"][line],
        log_page=batch["log_page"][line] or "",
        document=batch["document"][line] or "",
        reason=batch["reason"][line] or "",
        quantity=batch["quantity"][line],
    )


def _when(batch: Batch, line: int, zone: str) -> When:
    """When it happened; or the day by which it was so, where that is all that is known."""
    when = when_of(batch["happened_on"][line], zone)
    return replace(when, precision=BY) if batch["is_by"][line] and when.precision == "day" else when


_COLUMN_OF = {
    "unit": "serial",
    "place": "position",
    "sort": "sort",
    "happened_on": "happened_on",
    "aircraft_minutes": "minutes",
    "aircraft_cycles": "cycles",
    "quantity": "quantity",
    "reason": "reason",
    "document": "document",
    "log_page": "log_page",
    "corrects": "replaces_on",
}

_TO = {
    "aircraft": "a position of an aircraft",
    "inside": "a position inside a unit",
    "store": "store",
    "quarantine": "quarantine",
    "shop": "shop",
    "party": "another party",
    "gone": "gone",
}

MOVEMENTS = SheetKind(
    "Movements",
    "Where units went: received, installed, removed, sent ... The order of lines is the order of what happened on one day.",
    84,
    "record_movement",
    (
        *unit_columns(),
        Column(
            "Movement",
            "sort",
            CHOICE,
            True,
            "What happened.",
            ("what",),
            choices=dict(Movement.SORTS),
        ),
        Column(
            "Happened on",
            "happened_on",
            INSTANT,
            True,
            "Date, with the time if known; a month if no more is known.",
            ("date", "on", "when"),
        ),
        Column("To", "to", CHOICE, True, "Where it is from then on.", ("to place",), choices=_TO),
        Column(
            "Aircraft",
            "aircraft",
            CODE,
            meaning="For a position of an aircraft: registration.",
            aliases=("registration", "reg"),
            most=10,
        ),
        Column(
            "Position",
            "position",
            CODE,
            meaning="Code of the position, on the aircraft or inside the parent.",
            aliases=("position code",),
            most=32,
        ),
        *unit_columns("Parent", needed=False),
        Column(
            "Station",
            "station",
            CODE,
            meaning="For a store or quarantine, or the operator's own shop.",
            most=8,
        ),
        Column(
            "Name",
            "name",
            meaning="Of the shop or other party, or how it is gone (scrapped, sold, lost).",
        ),
        Column(
            "Hours",
            "minutes",
            HOURS,
            meaning="The aircraft's total hours as read.",
            aliases=("fh", "aircraft hours"),
        ),
        Column(
            "Cycles",
            "cycles",
            COUNT,
            meaning="The aircraft's total cycles as read.",
            aliases=("fc", "aircraft cycles"),
        ),
        Column("Log page", "log_page", meaning="Page of the technical log.", most=40),
        Column("Document", "document", meaning="Order, task card or paper."),
        Column("Reason", "reason", meaning="Why.", most=200),
        Column(
            "Quantity",
            "quantity",
            COUNT,
            meaning="Pieces in a lot from then on; blank: as before.",
            aliases=("qty",),
        ),
        Column(
            "Order",
            "order",
            COUNT,
            meaning="Order among the movements of one day.",
            aliases=("order in the day",),
        ),
        Column(
            "Replaces on",
            "replaces_on",
            INSTANT,
            meaning="To correct a movement on record: its day.",
            aliases=("corrects on",),
        ),
        Column(
            "Replaces movement",
            "replaces_sort",
            CHOICE,
            meaning="Which movement of that day it was.",
            aliases=("corrects movement",),
            choices=dict(Movement.SORTS),
        ),
        Column(
            "On or before",
            "is_by",
            YES_NO,
            meaning="yes: it was there on or before that day; since when is not known.",
            aliases=("by then",),
        ),
    ),
    bring_movements,
    [
        [
            "EXMKR",
            "EX-10",
            "S0001",
            "received",
            "2019-04-02",
            "store",
            "",
            "",
            "",
            "",
            "",
            "QEX1",
            "",
            "",
            "",
            "",
            "Order 7",
            "",
            "",
            "",
        ],
        ["EXMKR", "EX-20", "B0001", "received", "2021-03-05", "store", "", "", "", "", "", "QEX1"],
        [
            "EXMKR",
            "EX-20",
            "B0001",
            "installed",
            "2024-02-09",
            "a position inside a unit",
            "",
            "BTL",
            "EXMKR",
            "EX-10",
            "S0001",
        ],
        [
            "EXMKR",
            "EX-10",
            "S0001",
            "installed",
            "2024-02-10 21:15",
            "a position of an aircraft",
            "Q-EXA",
            "D1L",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "Log 3991",
            "Task 25-66-11",
        ],
        ["EXMKR", "EX-10", "S0002", "received", "2021-04", "store", "", "", "", "", "", "QEX1"],
        [
            "EXMKR",
            "EX-10",
            "S0002",
            "sent",
            "2026-11-05",
            "shop",
            "",
            "",
            "",
            "",
            "",
            "",
            "Example Shop",
        ],
    ],
    aliases=("Ledger",),
)

SHEETS = (MOVEMENTS,)
