"""How long a thing lasted or took: a light at least so long, a slide erected within so long.

Its rule: ``unit``; ``at_least``, ``at_most`` or both. Typed: ``value`` (9:59 too) ``unit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from equipment.judging.declaring.cells import Cell
from equipment.judging.declaring.controls import Controls, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed
from equipment.judging.verdicts import Judgement, amount_words, range_words, within


@dataclass(frozen=True, slots=True)
class EnduranceRule:
    """The least time (a light), the most time (an erection), or both; in ``unit``; ends included."""

    at_least: Decimal | None
    at_most: Decimal | None
    unit: str


def time_words(time: Decimal, unit: str) -> str:
    """``9 min 59 s``, ``1 h 30 min``, ``6.1 s``: broken minutes and hours in the smaller unit."""
    smaller = {"min": "s", "h": "min"}.get(unit)
    if smaller is None or time == time.to_integral_value():
        return amount_words(time, unit)
    parts = (time * 60).quantize(Decimal("0.1"))
    whole, rest = divmod(parts, 60)
    words = [amount_words(whole, unit)] if whole else []
    return " ".join([*words, amount_words(rest, smaller)] if rest or not words else words)


def judge_endurance(rule: EnduranceRule, lasted: Decimal) -> Judgement:
    """Whether a time, in the rule's unit, is long enough and short enough."""
    wanted = range_words(rule.at_least, rule.at_most, rule.unit)
    said = time_words(lasted, rule.unit)
    by = within(rule.at_least, lasted, rule.at_most, rule.unit)
    if by is None:
        return Judgement("in", f"{said} is {wanted}.")
    bound = rule.at_least if rule.at_least is not None and lasted < rule.at_least else rule.at_most
    assert bound is not None
    by = f"{time_words(abs(lasted - bound), rule.unit)} {'short' if lasted < bound else 'too long'}"
    return Judgement("out", f"{said} is not {wanted}: {by}.", by)


def _rule_of(read: RuleData) -> EnduranceRule:
    unit = read.unit("time")
    least, most = read.ordered("at_least", "at_most")
    return EnduranceRule(least, most, unit)


def _judge(read: Typed, rule: EnduranceRule, given: Given) -> Judgement | None:
    lasted = read.quantity("value", rule.unit, read.text("unit"))
    if lasted is None:
        return None
    # Minutes and seconds with their colon say their unit themselves.
    if ":" not in lasted.as_typed:
        read.ask(lasted, rule.at_least, rule.at_most)
    return judge_endurance(rule, lasted.value)


def _controls(rule: EnduranceRule, fitted: int | None) -> Controls:
    field = measured("value", "It lasted (9:59 will do)", rule.unit, keypad="text")
    return Controls(wanted=range_words(rule.at_least, rule.at_most, rule.unit), fields=(field,))


ENDURANCE = Sort(
    code="endurance",
    words="light endurance",
    typed=("value", "unit"),
    questioned=("value",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(Cell("low", "at_least"), Cell("high", "at_most"), Cell("unit")),
    tool="timer",
    example=Example(
        {"low": "10", "unit": "min"}, {"at_least": "10", "unit": "min"}, {"value": "10:30"}
    ),
)
