"""A measured value of any other kind: luminance, illuminance, flow, force, insulation, current, length.

Its rule: ``unit``; ``low``, ``high`` or both; ``is_strict`` (the limit itself is out). Typed: ``value``
``unit``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from equipment.judging.declaring.cells import RANGE, Cell
from equipment.judging.declaring.controls import Controls, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed
from equipment.judging.measuring.calibration import MEASURES
from equipment.judging.measuring.units import sort_of
from equipment.judging.verdicts import Judgement, amount_words, range_words, within

# What has a sort of step of its own (torque, pressure at a temperature) is judged there.
OTHERS = (
    "luminance",
    "illuminance",
    "flow",
    "force",
    "insulation",
    "current",
    "voltage",
    "length",
    "temperature",
    "angle",
)
TOOLS = {measure: tool for tool, measures in MEASURES.items() for measure in measures}


@dataclass(frozen=True, slots=True)
class MeasuredRule:
    """The least and the most, in ``unit``; ``is_strict`` if a value at a limit is out."""

    low: Decimal | None
    high: Decimal | None
    unit: str
    is_strict: bool = False

    @property
    def words(self) -> str:
        if not self.is_strict:
            return range_words(self.low, self.high, self.unit)
        ends = [("more than", self.low), ("less than", self.high)]
        said = [f"{word} {amount_words(end, self.unit)}" for word, end in ends if end is not None]
        return " and ".join(said)


def judge_measured(rule: MeasuredRule, reading: Decimal) -> Judgement:
    """Whether a reading, in the rule's unit, keeps its limits."""
    said = amount_words(reading, rule.unit)
    by = within(rule.low, reading, rule.high, rule.unit)
    if by is None and rule.is_strict and reading in (rule.low, rule.high):
        by = "equal to the limit"
    if by is None:
        return Judgement("in", f"{said} is {rule.words}.")
    return Judgement("out", f"{said} is not {rule.words}: {by}.", by)


def _rule_of(read: RuleData) -> MeasuredRule:
    unit = read.unit(*OTHERS)
    low, high = read.ordered("low", "high")
    return MeasuredRule(low, high, unit, read.flag("is_strict"))


def _judge(read: Typed, rule: MeasuredRule, given: Given) -> Judgement | None:
    reading = read.quantity("value", rule.unit, read.text("unit"))
    if reading is None:
        return None
    read.ask(reading, rule.low, rule.high)
    return judge_measured(rule, reading.value)


def _controls(rule: MeasuredRule, fitted: int | None) -> Controls:
    made = Controls(wanted=rule.words, fields=(measured("value", "Reading", rule.unit),))
    return replace(made, tool_sort=TOOLS.get(sort_of(rule.unit) or "", ""))


MEASURED = Sort(
    code="measured",
    words="measured value",
    typed=("value", "unit"),
    questioned=("value",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(*RANGE, Cell("is_strict", is_truth=True)),
    example=Example(
        {"low": "250", "unit": "µL", "is_strict": False},
        {"low": "250", "unit": "µL", "is_strict": False},
        {"value": "300"},
    ),
)
