"""The kinds of sheet that bring facts of the fleet."""

from __future__ import annotations

from fleet.aircraft.sheets import AIRCRAFT, CHECKS, POSITION_STATES, STATIONS_OF_AIRCRAFT, STATUSES
from fleet.aircraft.types_sheets import AIRCRAFT_TYPES, KINDS, LAYOUT, STATIONS
from fleet.intake.registry import register
from fleet.people.sheets import AUTHORISATIONS
from fleet.utilisation.sheets import MEASURES, RATES, READINGS

SHEETS = (
    STATIONS,
    KINDS,
    AIRCRAFT_TYPES,
    LAYOUT,
    AIRCRAFT,
    STATUSES,
    STATIONS_OF_AIRCRAFT,
    POSITION_STATES,
    CHECKS,
    MEASURES,
    READINGS,
    RATES,
    AUTHORISATIONS,
)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
