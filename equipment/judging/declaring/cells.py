"""A step's rule from the flat columns of the steps' sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

# Every column that may say something of a rule; a sort has a place for some of them.
COLUMNS = (
    "low",
    "high",
    "unit",
    "is_strict",
    "has_drag",
    "loss_percent",
    "counted",
    "minutes",
    "steady_f",
)


@dataclass(frozen=True, slots=True)
class Cell:
    """A column that makes part of a rule, and what the rule calls it if not the same.

    ``is_truth``: the rule has a yes or no, always said. ``beside``: it counts only where that column
    is filled too.
    """

    column: str
    name: str = ""
    is_truth: bool = False
    beside: str = ""

    @property
    def of_rule(self) -> str:
        """Its name in the rule."""
        return self.name or self.column


RANGE = (Cell("low"), Cell("high"), Cell("unit"))


def is_filled(value: object) -> bool:
    """Whether a cell says something: a no says nothing more than a blank does."""
    return value is not None and value is not False and value != ""


def rule_from(cells: Iterable[Cell], line: Mapping[str, Any]) -> dict[str, Any]:
    """The rule that a line's columns make; numbers as text, which keeps 0.1 exact."""
    rule: dict[str, Any] = {}
    for cell in _standing(cells, line):
        value = line[cell.column]
        if cell.is_truth:
            rule[cell.of_rule] = is_filled(value)
        elif is_filled(value):
            rule[cell.of_rule] = str(value)
    return rule | ({"needs_tool": True} if line["needs_tool"] else {})


def unplaced(cells: Iterable[Cell], line: Mapping[str, Any]) -> list[str]:
    """The columns that say something of which the rule would know nothing."""
    placed = {cell.column for cell in _standing(cells, line)}
    return [name for name in COLUMNS if is_filled(line[name]) and name not in placed]


def column_of(cells: Iterable[Cell], name: str) -> str | None:
    """The column that a name of the rule comes from; None if no column has it."""
    return next((cell.column for cell in cells if cell.of_rule == name), None)


def _standing(cells: Iterable[Cell], line: Mapping[str, Any]) -> list[Cell]:
    return [cell for cell in cells if not cell.beside or is_filled(line[cell.beside])]
