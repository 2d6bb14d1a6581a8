"""Movements: where units went, when, and which recorded movement a line replaces."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from zoneinfo import ZoneInfo

from equipment.common import lookups
from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import Movement, Place, Unit
from fleet.house import pace
from fleet.house.pages import zone as zone_of_today
from fleet.intake.columns import CHOICE, CODE, COUNT, HOURS, INSTANT
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.stamps import Stamp
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.totals import in_utc

from .known_movements import lines_of_movements
from .strict import record_strictly


@dataclass(frozen=True, slots=True)
class Places:
    """What each line names of a place, by line."""

    aircraft: list[int | None]
    positions: list[int | None]
    parents: list[int | None]
    inside: list[int | None]
    stations: list[int | None]


def bring_movements(batch: Batch) -> None:
    units = lookups.units(batch)
    places = _places(batch)
    pace.reached(0.15, "finding which lines are known")
    acts = lines_of_movements(batch, units, places.parents).new_acts()
    replaced = replaced_movements(batch, units)
    rows: dict[int, MovementFact] = {}
    pace.reached(0.25, "putting its lines together")
    for line in batch.good:
        place = _place_of(batch, places, line)
        if isinstance(place, PlaceAt):
            fact = _fact(batch, line, place, _zone(batch, places, line))
            rows[line] = replace(
                fact, unit_id=units[line] or 0, act_id=acts[line], corrects=replaced.get(line)
            )
    with pace.part(0.35, 1):
        record_strictly(batch, rows, partial(_record, batch), _COLUMN_OF)
    batch.touch()


def _record(batch: Batch, rows: list[MovementFact]) -> None:
    bringing = batch.bringing
    record_movements(by=bringing.by, rows=rows, act_id=bringing.key, at=bringing.at, is_strict=True)


def _places(batch: Batch) -> Places:
    aircraft = fleet_lookups.aircraft(batch)
    parents = lookups.units(batch, "parent_")
    outer = _parts_around(batch, parents)
    return Places(
        aircraft=aircraft,
        positions=fleet_lookups.aircraft_positions(batch, aircraft),
        parents=parents,
        inside=lookups.part_positions(batch, outer, "position"),
        stations=fleet_lookups.stations(batch),
    )


def _parts_around(batch: Batch, parents: list[int | None]) -> list[int | None]:
    """The part number of each line's parent that has the position named: what it is, or was."""
    rows = Unit.objects.filter(pk__in={parent for parent in parents if parent is not None})
    of_parent = {
        key: parts for key, *parts in rows.values_list("pk", "part_number_id", "original_part_id")
    }
    known = lookups.all_part_positions(batch)
    outer: list[int | None] = []
    for parent, code in zip(parents, batch["position"], strict=True):
        parts = of_parent.get(parent or 0, [None])
        outer.append(next((part for part in parts if (part, code) in known), parts[0]))
    return outer


def _place_of(batch: Batch, places: Places, line: int) -> PlaceAt | None:
    """The place that a line names, or None after refusing it for what it lacks."""
    sort, name = batch["to"][line], batch["name"][line] or ""
    position, parent, inside = places.positions[line], places.parents[line], places.inside[line]
    station = places.stations[line]
    found: tuple[PlaceAt | None, str, str]
    if sort == Place.AIRCRAFT:
        place = PlaceAt(sort, aircraft_position_id=position) if position else None
        found = place, "position", "Give the aircraft and its position."
    elif sort == Place.INSIDE:
        place = PlaceAt(sort, parent_unit_id=parent, part_position_id=inside) if inside else None
        found = place, "position", "Give the unit around it (parent) and the position inside it."
    elif sort in {Place.STORE, Place.QUARANTINE}:
        found = (
            PlaceAt(sort, station_id=station, name=name) if station else None,
            "station",
            "Give the station.",
        )
    else:
        found = (
            PlaceAt(sort, station_id=station, name=name) if name or station else None,
            "name",
            "Give the name.",
        )
    if found[0] is None:
        batch.refuse(line, found[1], "place_not_named", f"The place is not named whole. {found[2]}")
    return found[0]


def _zone(batch: Batch, places: Places, line: int) -> str:
    station, craft = places.stations[line], places.aircraft[line]
    if station is not None:
        return fleet_lookups.zones_of_stations(batch)[station]
    if craft is not None:
        return fleet_lookups.zones_of_aircraft(batch)[craft]
    return str(zone_of_today())


def when_of(stamp: Stamp, zone: str) -> When:
    """When something happened, with the precision given; a day alone is its start in ``zone``."""
    return When(in_utc(stamp, zone), stamp.precision, "UTC" if stamp.is_utc else zone)


def _fact(batch: Batch, line: int, place: PlaceAt, zone: str) -> MovementFact:
    return MovementFact(
        unit_id=0,
        sort=batch["sort"][line],
        to=place,
        when=when_of(batch["happened_on"][line], zone),
        day_order=batch["order"][line] or 0,
        aircraft_minutes=batch["minutes"][line],
        aircraft_cycles=batch["cycles"][line],
        log_page=batch["log_page"][line] or "",
        document=batch["document"][line] or "",
        reason=batch["reason"][line] or "",
        quantity=batch["quantity"][line],
    )


def replaced_movements(batch: Batch, units: list[int | None]) -> dict[int, int]:
    """By line, the recorded movement that it names by 'Replaces on' and 'Replaces movement'."""
    lines = [line for line in batch.good if batch["replaces_on"][line] is not None]
    if not lines:
        return {}
    standing = Movement.objects.filter(
        unit__in={units[line] for line in lines}, corrected_by=None, annulment=None
    )
    known = list(standing.values_list("pk", "unit_id", "sort", "happened_at", "zone", "day_order"))
    found: dict[int, int] = {}
    for line in lines:
        day, sort = batch["replaces_on"][line].on, batch["replaces_sort"][line]
        of_unit = [row for row in known if row[1] == units[line] and sort in {None, row[2]}]
        keys = [
            pk for pk, _, _, at, zone, _ in of_unit if at.astimezone(ZoneInfo(zone)).date() == day
        ]
        if len(keys) == 1:
            found[line] = keys[0]
        else:
            many = "several such movements" if keys else "no such movement"
            batch.refuse(
                line,
                "replaces_on",
                "ambiguous_movement" if keys else "unknown_movement",
                f"There is {many} of this unit on that day. Give the day on record, and the movement.",
            )
    return found


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
