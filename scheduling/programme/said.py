"""Fields that acts under the programme share: on whom, and under which programme."""

from __future__ import annotations

from typing import Any

from equipment.common.said import unit_row
from fleet.acts.fields import Heading, coded, row
from fleet.models import Aircraft, AircraftPosition
from scheduling.models import Limit, Programme


def subject_unit(**more: Any) -> Any:
    """The unit, where it is one unit."""
    return unit_row(help="A unit's id.", **more)


def subject_aircraft() -> Any:
    """The aircraft, where it is the aircraft or one of its positions."""
    return coded(
        "Aircraft",
        Aircraft,
        "registration",
        "aircraft",
        most=10,
        default=None,
        help="A registration; with a position, that position of it.",
    )


def subject_position() -> Any:
    """The position of an aircraft, where it is that."""
    return row("Position", AircraftPosition, "position", default=None)


def of_programme() -> Any:
    """A programme by its code."""
    heading = Heading("Programme", "Code of the programme.")
    return coded("Programme", Programme, "code", "programme", most=24, heading=heading)


def of_paragraph() -> Any:
    """A paragraph of a directive: the limit of one programme and revision."""
    return row("Paragraph", Limit, "limit")
