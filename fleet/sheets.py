"""The kinds of sheet that bring facts of the fleet."""

from __future__ import annotations

from fleet.aircraft import sheets as aircraft
from fleet.intake.registry import register
from fleet.people import sheets as people
from fleet.utilisation import sheets as utilisation

SHEETS = (*aircraft.SHEETS, *utilisation.SHEETS, *people.SHEETS)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
