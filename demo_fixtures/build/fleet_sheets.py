"""Stations, kinds, types, layouts, aircraft, readings and the plan, as lines of sheets."""

from __future__ import annotations

import json

from . import operator
from .aircraft import IN_CHECK, LEASED_IN, PARKED, PARKED_FROM, Aircraft, reading_days
from .book import day
from .layouts import PLANS, POSITIONS, TYPE_NAMES

Row = dict[str, object]
# The readings that come late, and one that runs backwards: see the later sheets.
LATE = ("Q7-VAG", -49)
BACKWARDS = ("Q7-VAJ", -19)


def hours(minutes: int) -> str:
    """Minutes as an operator writes hours: ``12345:30``."""
    return f"{minutes // 60}:{minutes % 60:02d}"


def stations() -> list[Row]:
    return [
        {
            "Code": code,
            "Name": name,
            "Time zone": zone,
            "Maintenance base": "yes" if base else "no",
            "Abilities": ", ".join(works),
        }
        for code, name, zone, base, works in operator.STATIONS
    ]


def kinds() -> list[Row]:
    return [
        {"Code": code, "Name": name, "Chapter": chapter} for code, name, chapter in operator.KINDS
    ]


def measures() -> list[Row]:
    return [
        {"Code": code, "Name": name, "Unit": unit, "Counted on": counted_on, "Counts": counts}
        for code, name, unit, counted_on, counts in operator.MEASURES
    ]


def types() -> list[Row]:
    return [
        {"Code": code, "Name": name, "Drawing": json.dumps(PLANS[code])}
        for code, name in TYPE_NAMES.items()
    ]


def layout() -> list[Row]:
    return [
        {
            "Aircraft type": code,
            "Position": spot.code,
            "Name": spot.name,
            "Kind": spot.kind,
            "Zone": spot.zone,
            "Access group": spot.access,
            "Side": spot.side,
            "Capacity": spot.capacity,
            "X (cm)": spot.x,
            "Y (cm)": spot.y,
        }
        for code, spots in POSITIONS.items()
        for spot in spots
    ]


def aircraft(crafts: list[Aircraft]) -> list[Row]:
    return [
        {
            "Registration": craft.registration,
            "MSN": craft.msn,
            "Aircraft type": craft.type_code,
            "Station": craft.station,
            "Manufactured on": day(craft.delivered - 21),
        }
        for craft in crafts
    ]


def statuses(crafts: list[Aircraft]) -> list[Row]:
    rows: list[Row] = [
        {
            "Aircraft": craft.registration,
            "From": day(craft.from_on),
            "Status": "in service",
            "Document": "ILM-LA-4013" if craft.registration == LEASED_IN else "",
        }
        for craft in crafts
    ]
    rows.append(
        {"Aircraft": PARKED, "From": day(PARKED_FROM), "Status": "parked", "Document": "VAR-PK-07"}
    )
    check = next(
        g for c in crafts if c.registration == IN_CHECK for g in c.ground if g.start < 0 <= g.end
    )
    rows.append(
        {
            "Aircraft": IN_CHECK,
            "From": day(check.start),
            "Status": "in check",
            "Document": check.name,
        }
    )
    return rows


def stations_of_aircraft(crafts: list[Aircraft]) -> list[Row]:
    return [
        {"Aircraft": craft.registration, "From": day(craft.from_on), "Station": craft.station}
        for craft in crafts
    ]


def checks(crafts: list[Aircraft]) -> list[Row]:
    return [
        {
            "Aircraft": craft.registration,
            "Name": ground.name,
            "Sort": "overnight stop" if ground.sort == "overnight" else "check",
            "Starts on": day(ground.start),
            "Ends on": day(ground.end),
            "Station": ground.station,
            "Abilities": ", ".join(ground.abilities),
            "Cancelled": "",
        }
        for craft in crafts
        for ground in sorted(craft.ground, key=lambda g: g.start)
    ]


def rates() -> list[Row]:
    """The planner's figures where the past says too little: a route opens, an aircraft is young."""
    return [
        {"Aircraft": registration, "Measure": measure, "From": day(from_on), "Per day": per_day}
        for registration, measure, from_on, per_day in (
            ("Q7-VAK", "FH", -20, "10:30"),
            ("Q7-VAK", "FC", -20, "5.5"),
            ("Q7-VBE", "FH", -8, "13:45"),
        )
    ]


def reading(registration: str, read_on: object, minutes: int, cycles: int, source: str) -> Row:
    return {
        "Aircraft": registration,
        "Read on": read_on,
        "Hours": hours(minutes),
        "Cycles": cycles,
        "Source": source,
        "Correction": "",
    }


def readings(crafts: list[Aircraft]) -> list[Row]:
    """Every reading of the first sheets."""
    return [
        reading(craft.registration, day(on), *craft.total_at(on), f"Log {9000 + on}")
        for craft in crafts
        for on in reading_days(craft)
        if (craft.registration, on) != LATE
    ]
