"""The kinds of sheet that bring programmes, their limits, and the works done under them."""

from __future__ import annotations

from fleet.intake.registry import register

from . import allowances, programmes
from .limits import AMOUNTS, CLOCKS, LIMITS
from .works import WORKS_DONE

SHEETS = (
    *programmes.SHEETS,
    *(LIMITS, CLOCKS, AMOUNTS),
    WORKS_DONE,
    *allowances.SHEETS,
)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
