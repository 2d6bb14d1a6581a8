"""Weight against a stamped least weight, or against a loss of so many per cent of the full weight.

Its rule: ``unit``; ``at_least``, or ``loss_percent`` with ``is_strict`` and ``full`` if it is one for
all. Typed: ``value`` ``unit``; ``full`` ``full_unit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from equipment.judging.declaring.cells import Cell
from equipment.judging.declaring.controls import Controls, measured
from equipment.judging.declaring.rule_data import RuleData
from equipment.judging.declaring.sort import Example, Given, Sort
from equipment.judging.declaring.typed import Typed
from equipment.judging.measuring.questions import doubted
from equipment.judging.verdicts import Judgement, amount_words, number_words, off_words


@dataclass(frozen=True, slots=True)
class WeightRule:
    """A least weight, a most loss in per cent of the full weight, or both; ``unit`` of mass.

    ``is_strict``: the loss must stay below the percentage; otherwise only *more than* it is out.
    ``full`` is the full weight where it is one for all such units.
    """

    unit: str
    at_least: Decimal | None = None
    loss_percent: Decimal | None = None
    is_strict: bool = False
    full: Decimal | None = None


def judge_weight(rule: WeightRule, weight: Decimal, full: Decimal | None = None) -> Judgement:
    """Whether a weight is enough, all in the rule's unit; a loss without a full weight is not judged."""
    said = amount_words(weight, rule.unit)
    if rule.at_least is not None and weight < rule.at_least:
        by = f"{off_words(rule.at_least - weight, rule.unit)} too light"
        least = amount_words(rule.at_least, rule.unit)
        return Judgement("out", f"{said} is less than {least}: {by}.", by)
    if rule.loss_percent is None:
        return Judgement("in", f"{said} is enough.")
    if full is None or full <= 0:
        return Judgement("cannot_judge", "It cannot be judged: its full weight is not recorded.")
    return _judge_loss(rule, weight, full, rule.loss_percent)


def _judge_loss(rule: WeightRule, weight: Decimal, full: Decimal, most: Decimal) -> Judgement:
    allowed = full * most / 100
    lost = full - weight
    if lost < 0:
        return _judge_more(rule, weight, full, allowed)
    percent = f"{number_words((lost * 100 / full).quantize(Decimal('0.01')))} %"
    limit = f"{'less than' if rule.is_strict else 'at most'} {number_words(most)} %"
    said = f"{amount_words(weight, rule.unit)} of {amount_words(full, rule.unit)}, a loss of {percent},"
    if lost < allowed or (lost == allowed and not rule.is_strict):
        return Judgement("in", f"{said} is within the limit, {limit}.")
    by = (
        f"{off_words(lost - allowed, rule.unit)} too much lost"
        if lost > allowed
        else "equal to the limit"
    )
    return Judgement("out", f"{said} is beyond the limit, {limit}: {by}.", by)


def _judge_more(rule: WeightRule, weight: Decimal, full: Decimal, allowed: Decimal) -> Judgement:
    """More than the full weight, as much beyond it as may be lost, is a scale's; beyond that one of
    the two weights is wrong."""
    said = f"{amount_words(weight, rule.unit)} of {amount_words(full, rule.unit)}"
    if weight - full <= allowed:
        return Judgement("in", f"{said}: nothing is lost.")
    sentence = (
        f"It cannot be judged: {said} is more than it holds. One of the two weights is wrong."
    )
    return Judgement("cannot_judge", sentence)


def _rule_of(read: RuleData) -> WeightRule:
    unit = read.unit("mass")
    least, percent, full = (read.number(name) for name in ("at_least", "loss_percent", "full"))
    if least is None and percent is None:
        sentence = "Say the least weight or the most loss in per cent."
        read.refuse("at_least", "limit_missing", sentence)
    if percent is not None and percent > 100:
        read.refuse("loss_percent", "out_of_range", "A loss is at most 100 per cent.")
    return WeightRule(unit, least, percent, read.flag("is_strict"), full)


def _judge(read: Typed, rule: WeightRule, given: Given) -> Judgement | None:
    weight = read.quantity("value", rule.unit, read.text("unit"))
    typed = read.quantity("full", rule.unit, read.text("full_unit"), needed=False)
    if weight is None:
        return None
    full = typed.value if typed else rule.full
    least = full / 2 if full else rule.at_least
    read.ask(weight, least, full * 2 if full else None)
    if full and weight.value > full:
        more, holds = (amount_words(each, rule.unit) for each in (weight.value - full, full))
        sentence = f"Is it right? {weight.words} is {more} more than it weighs full, {holds}."
        read.put(doubted(weight, sentence))
    return judge_weight(rule, weight.value, full)


def _controls(rule: WeightRule, fitted: int | None) -> Controls:
    fields = [measured("value", "The scale showed", rule.unit)]
    if rule.loss_percent is not None and rule.full is None:
        fields.insert(0, measured("full", "Full weight, as stamped", rule.unit, "full_unit"))
    return Controls(wanted=_wanted(rule), fields=tuple(fields))


def _wanted(rule: WeightRule) -> str:
    words = []
    if rule.at_least is not None:
        words.append(f"at least {amount_words(rule.at_least, rule.unit)}")
    if rule.loss_percent is not None:
        bound = "less than" if rule.is_strict else "at most"
        words.append(f"a loss of {bound} {number_words(rule.loss_percent)} %")
    return ", ".join(words)


WEIGHT = Sort(
    code="weight",
    words="weight",
    typed=("value", "unit", "full", "full_unit"),
    questioned=("value",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(
        Cell("low", "at_least"),
        Cell("unit"),
        Cell("loss_percent"),
        Cell("is_strict", is_truth=True, beside="loss_percent"),
    ),
    tool="scale",
    example=Example(
        {"unit": "kg", "loss_percent": "5"},
        {"unit": "kg", "loss_percent": "5", "is_strict": False},
        {"value": "4.8", "full": "5"},
    ),
)
