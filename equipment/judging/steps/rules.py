"""A step's rule as the operator enters it, checked once into a plain rule.

What the rule of each sort says, and what is typed at such a step, stands at the head of its module in
`equipment.judging.sorts`. Any rule may have ``needs_tool``: its value counts only with a tool that was
calibrated that day. Numbers may be written as text, which keeps 0.1 exact. A unit left out of what is
typed is the rule's. Any entry may have ``confirmed`` (and ``drag_confirmed``): the ``answer`` of a
:class:`Question` that was asked about that very value.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.sorts.table import BY_CODE
from equipment.judging.verdicts import Problem

SORTS = tuple(BY_CODE)


@dataclass(frozen=True, slots=True)
class StepRule:
    """A checked rule of one step; ``rule`` is what its sort reads and judges by."""

    sort: str
    rule: object
    needs_tool: bool = False


def rule_of(sort: str, data: Mapping[str, Any]) -> StepRule | list[Problem]:
    """The rule that an operator's data says, or everything that is wrong with it.

    Refuses what is missing, misspelt or of the wrong sort, ranges upside down, units that do not
    measure this.
    """
    if sort not in BY_CODE:
        return [Problem("sort_unknown", f"“{sort}” is not a sort of step.", "sort")]
    if not isinstance(data, Mapping):
        return [Problem("not_a_rule", "A step's rule is a table of names and values.", "rule")]
    read = RuleData(data)
    needs_tool = read.flag("needs_tool")
    rule = BY_CODE[sort].rule_of(read)
    return read.finished() or StepRule(sort, rule, needs_tool)
