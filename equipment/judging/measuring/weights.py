"""Weight against a stamped least weight, or against a loss of so many per cent of the full weight."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

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
