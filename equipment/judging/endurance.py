"""How long a thing lasted or took: a light at least so long, a slide erected within so long."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from .verdicts import Judgement, amount_words, range_words, within


@dataclass(frozen=True, slots=True)
class EnduranceRule:
    """The least time (a light), the most time (an erection), or both; in ``unit``; ends included."""

    at_least: Decimal | None
    at_most: Decimal | None
    unit: str


def judge_endurance(rule: EnduranceRule, lasted: Decimal) -> Judgement:
    """Whether a time, in the rule's unit, is long enough and short enough."""
    wanted = range_words(rule.at_least, rule.at_most, rule.unit)
    said = amount_words(lasted, rule.unit)
    by = within(rule.at_least, lasted, rule.at_most, rule.unit)
    if by is None:
        return Judgement("in", f"{said} is {wanted}.")
    by = by.replace("too low", "too short").replace("too high", "too long")
    return Judgement("out", f"{said} is not {wanted}: {by}.", by)
