"""The kinds of sheet that bring programmes, their limits, and the works done under them."""

from __future__ import annotations

from fleet.intake.registry import register

from .allowances import DISPOSITIONS, EXTENSIONS
from .amounts import AMOUNTS
from .clocks import CLOCKS
from .limits import LIMITS
from .programmes import PROGRAMMES, PROGRAMMES_OF_AIRCRAFT, WORKS
from .works import WORKS_DONE

SHEETS = (
    WORKS,
    PROGRAMMES,
    PROGRAMMES_OF_AIRCRAFT,
    LIMITS,
    CLOCKS,
    AMOUNTS,
    WORKS_DONE,
    DISPOSITIONS,
    EXTENSIONS,
)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
