"""One entry judged as typed: what acts, pages and API all call."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from equipment.judging.declaring.sort import Given
from equipment.judging.declaring.typed import Typed
from equipment.judging.measuring.calibration import ToolFacts, why_not_measured, why_not_use
from equipment.judging.measuring.pressure import Chart
from equipment.judging.sorts.table import BY_CODE
from equipment.judging.verdicts import Judgement, Outcome, Problem

from .rules import StepRule, rule_of

__all__ = ["ToolOnDay", "judge", "rule_of"]


@dataclass(frozen=True, slots=True)
class ToolOnDay:
    """The tool that a value was taken with, and the day."""

    facts: ToolFacts
    on: date


def judge(
    rule: StepRule,
    typed: Mapping[str, Any],
    *,
    tool: ToolOnDay | None = None,
    chart: Chart | None = None,
    fitted: int | None = None,
) -> Outcome:
    """The verdict on what was typed, or problems by field, or a question; never an exception.

    ``typed`` has the fields that the rule's sort declares. ``chart`` is the bottle's own; ``fitted``
    is the count that a returned count answers. A value of a tool that was not good that day, or
    beyond what it measures, or without the tool that the rule needs, is taken but cannot be judged.
    """
    read = Typed(typed)
    given = Given(chart, fitted, tool.facts.length_mm if tool else None)
    judgement = BY_CODE[rule.sort].judge(read, rule.rule, given)
    return _with_tool(read.outcome(judgement), rule, tool)


def _with_tool(outcome: Outcome, rule: StepRule, tool: ToolOnDay | None) -> Outcome:
    found = outcome.judgement
    if found is None or (tool is None and not rule.needs_tool):
        return outcome
    if tool is None:
        reason = "the tool it was taken with is not named."
    else:
        problem = why_not_use(tool.facts, tool.on) or _beyond(tool.facts, outcome)
        if problem is None:
            return outcome
        reason = problem.sentence
    sentence = f"It cannot be judged: {reason} As read: {found.sentence}"
    return replace(outcome, judgement=Judgement("cannot_judge", sentence))


def _beyond(tool: ToolFacts, outcome: Outcome) -> Problem | None:
    """Whether the tool can have shown what was read: as it was read, before any extension is reckoned."""
    read = outcome.values.get("value")
    if not read:
        return None
    return why_not_measured(tool, Decimal(read["typed_value"]), read["in_unit"])
