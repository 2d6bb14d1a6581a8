"""A function test: it worked or it did not, with a reading where the step asks for one.

Its rule: ``unit`` with ``low``, ``high`` or both, if there is a reading. Typed: ``result``, pass or
fail; ``value`` ``unit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from equipment.judging.declaring.cells import RANGE
from equipment.judging.declaring.controls import Controls, either, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed
from equipment.judging.verdicts import Judgement, amount_words, range_words, within


@dataclass(frozen=True, slots=True)
class FunctionRule:
    """A test to pass; ``unit`` is set if a reading goes with it, which has to be in the range."""

    low: Decimal | None = None
    high: Decimal | None = None
    unit: str | None = None


def judge_function(rule: FunctionRule, is_pass: bool, reading: Decimal | None = None) -> Judgement:
    """Whether it passed and, if a reading is asked for, the reading is in its range.

    A failed test is out whatever it read; passed without its reading, it cannot be judged.
    """
    if not is_pass:
        return Judgement("out", "The test was not passed.", "not passed")
    if rule.unit is None:
        return Judgement("in", "The test was passed.")
    if reading is None:
        return Judgement("cannot_judge", "It cannot be judged: its reading is not recorded.")
    by = within(rule.low, reading, rule.high, rule.unit)
    said, wanted = amount_words(reading, rule.unit), range_words(rule.low, rule.high, rule.unit)
    if by is None:
        return Judgement("in", f"The test was passed; {said} keeps its limit, {wanted}.")
    return Judgement("out", f"{said} is off its limit, {wanted}: {by}.", by)


def _rule_of(read: RuleData) -> FunctionRule:
    if not read.has("unit"):
        _refuse_ends(read)
        return FunctionRule()
    unit = read.unit("voltage", "time", "pressure", "torque", "resistance", "length", "mass")
    low, high = read.ordered("low", "high")
    return FunctionRule(low, high, unit)


def _refuse_ends(read: RuleData) -> None:
    """Without a unit there is no reading; its ends are read all the same, to tell every mistake at once."""
    for name in ("low", "high"):
        if read.has(name):
            read.refuse(name, "unit_missing", f"“{name}” needs the unit of the reading.")
            read.number(name)


def _judge(read: Typed, rule: FunctionRule, given: Given) -> Judgement | None:
    passed = read.choice("result", "Say how the test went: pass or fail.")
    reading = None
    if rule.unit is not None:
        reading = read.quantity("value", rule.unit, read.text("unit"), needed=False)
        if reading is not None:
            read.ask(reading, rule.low, rule.high)
    if passed is None:
        return None
    return judge_function(rule, passed, reading.value if reading else None)


def _controls(rule: FunctionRule, fitted: int | None) -> Controls:
    choices = either("result", ("pass", "Passed"), ("fail", "Failed"))
    if rule.unit is None:
        return Controls(choices=choices)
    return Controls(
        wanted=range_words(rule.low, rule.high, rule.unit),
        fields=(measured("value", "Reading", rule.unit),),
        choices=choices,
    )


FUNCTION = Sort(
    code="function",
    words="function test",
    typed=("value", "unit", "result"),
    questioned=("value",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=RANGE,
    leads_on=True,
    example=Example(
        {"low": "5", "unit": "V"}, {"low": "5", "unit": "V"}, {"result": "pass", "value": "5.1"}
    ),
)
