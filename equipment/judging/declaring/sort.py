"""What a sort of step is declared with: everything of it in one place, as plain data and functions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from equipment.judging.measuring.pressure import Chart
from equipment.judging.verdicts import Judgement

from .cells import Cell
from .controls import Controls
from .rule_data import RuleData
from .typed import Typed

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Given:
    """What an entry is judged with besides its rule: the bottle's chart, how many were fitted, and
    the length on record of the wrench it was taken with."""

    chart: Chart | None = None
    fitted: int | None = None
    wrench_length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Example:
    """One step of this sort: what its line in the sheet says, the rule that this makes, and what a
    technician types who finds it in tolerance.

    Each sort carries one, by which the tests try it at every place that a step passes through.
    """

    cells: Mapping[str, object]
    rule: Mapping[str, object]
    typed: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sort(Generic[R]):
    """One sort of step; ``R`` is its rule once checked.

    ``code`` is what is kept, ``words`` what sheets and pages call it. ``typed`` are the names that
    an entry of it may carry, ``questioned`` those of them about whose unit it may ask. ``rule_of``
    reads the operator's data, ``judge`` an entry, ``controls`` what is asked for (with how many were
    fitted). ``cells`` are the columns of the steps' sheet that make its rule. ``aim`` says what to
    aim at before the value is read. ``tool`` is the sort of tool it is measured with.
    ``takes_chart``: the bottle's own chart goes with it. ``leads_on``: once it is good, the next
    step follows at once.
    """

    code: str
    words: str
    typed: tuple[str, ...]
    rule_of: Callable[[RuleData], R]
    judge: Callable[[Typed, R, Given], Judgement | None]
    controls: Callable[[R, int | None], Controls]
    example: Example
    cells: tuple[Cell, ...] = ()
    questioned: tuple[str, ...] = ()
    aim: Callable[[R, Mapping[str, Any], Given], str] = field(default=lambda rule, typed, given: "")
    tool: str = ""
    takes_chart: bool = False
    leads_on: bool = False


@dataclass(frozen=True, slots=True)
class PlainRule:
    """Of a confirmation, a note or a photo: nothing but that it is there."""


def plain_rule(read: RuleData) -> PlainRule:
    """The rule of a sort that asks nothing of its data."""
    return PlainRule()
