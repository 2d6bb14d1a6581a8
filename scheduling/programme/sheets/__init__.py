"""The kinds of sheet that bring programmes, their limits, and the works done under them."""

from __future__ import annotations

from fleet.intake.registry import register

from . import allowances, amounts, clocks, limits, programmes, works

SHEETS = (
    *programmes.SHEETS,
    *limits.SHEETS,
    *clocks.SHEETS,
    *amounts.SHEETS,
    *works.SHEETS,
    *allowances.SHEETS,
)


def make_known() -> None:
    """This will register these kinds; called when the app is ready."""
    register(*SHEETS)
