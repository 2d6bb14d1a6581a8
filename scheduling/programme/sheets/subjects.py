"""Whom a line is about: a unit, an aircraft, or a position of one."""

from __future__ import annotations

from equipment.common import lookups as equipment_lookups
from fleet.intake.columns import CODE
from fleet.intake.registry import Column, unit_columns
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch

SUBJECT = (
    *unit_columns(needed=False),
    Column(
        "Aircraft",
        "aircraft",
        CODE,
        meaning="Instead of a unit: registration.",
        aliases=("registration", "reg"),
        most=10,
    ),
    Column(
        "Position",
        "position",
        CODE,
        meaning="A position of that aircraft.",
        aliases=("position code",),
        most=32,
    ),
)
Subject = tuple[int | None, int | None, int | None]


def subjects(batch: Batch) -> list[Subject]:
    """The unit, aircraft or position of each line; a line that names none or several is refused."""
    units = equipment_lookups.units(batch)
    aircraft = fleet_lookups.aircraft(batch)
    positions = fleet_lookups.aircraft_positions(batch, aircraft)
    found: list[Subject] = []
    for line, (unit, craft, position) in enumerate(zip(units, aircraft, positions, strict=True)):
        found.append((unit, None if position is not None else craft, position))
        if batch.is_good(line) and (unit is None) == (craft is None):
            batch.refuse(
                line,
                None,
                "not_one_subject",
                "The line names no subject, or several. Give a unit (part and serial number), or an "
                "aircraft, or an aircraft and one of its positions.",
            )
    return found
