"""How long a thing lasted or took: a light at least so long, a slide erected within so long."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

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
