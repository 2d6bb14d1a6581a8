"""Bonding resistance against a limit: *less than* and *does not exceed* are different rules."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from equipment.judging.verdicts import Judgement, amount_words, off_words


@dataclass(frozen=True, slots=True)
class ResistanceRule:
    """The most resistance allowed; ``is_strict`` if it must be less than the limit itself."""

    limit: Decimal
    unit: str
    is_strict: bool

    @property
    def words(self) -> str:
        return (
            f"{'less than' if self.is_strict else 'at most'} {amount_words(self.limit, self.unit)}"
        )


def judge_resistance(rule: ResistanceRule, reading: Decimal) -> Judgement:
    """Whether a reading, in the rule's unit, keeps the limit."""
    said = amount_words(reading, rule.unit)
    if reading < rule.limit or (reading == rule.limit and not rule.is_strict):
        return Judgement("in", f"{said} is within the limit, {rule.words}.")
    by = f"{off_words(reading - rule.limit, rule.unit)} too high"
    if reading == rule.limit:
        by = "equal to the limit"
    return Judgement("out", f"{said} is not {rule.words}: {by}.", by)
