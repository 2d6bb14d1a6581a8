"""Bonding resistance against a limit: *less than* and *does not exceed* are different rules.

Its rule: ``limit`` ``unit`` ``is_strict`` (less than; otherwise: does not exceed). Typed: ``value``
``unit``.
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


def _rule_of(read: RuleData) -> ResistanceRule:
    limit = read.number("limit", needed=True) or RuleData.NOUGHT
    # Which of the two it is must be said: the sources differ (published-facts section 13).
    return ResistanceRule(limit, read.unit("resistance"), read.flag("is_strict", needed=True))


def _judge(read: Typed, rule: ResistanceRule, given: Given) -> Judgement | None:
    reading = read.quantity("value", rule.unit, read.text("unit"))
    if reading is None:
        return None
    read.ask(reading, None, rule.limit)
    if not reading.value:
        sentence = (
            f"The meter showed {reading.typed_words}: no bond has none. Is it zeroed, and are its "
            "leads on the two parts and not on each other?"
        )
        read.put(doubted(reading, sentence))
    return judge_resistance(rule, reading.value)


def _controls(rule: ResistanceRule, fitted: int | None) -> Controls:
    return Controls(wanted=rule.words, fields=(measured("value", "The meter showed", rule.unit),))


RESISTANCE = Sort(
    code="resistance",
    words="resistance",
    typed=("value", "unit"),
    questioned=("value",),
    rule_of=_rule_of,
    judge=_judge,
    controls=_controls,
    cells=(Cell("high", "limit"), Cell("unit"), Cell("is_strict", is_truth=True)),
    tool="ohmmeter",
    example=Example(
        {"high": "2.5", "unit": "mΩ", "is_strict": True},
        {"limit": "2.5", "unit": "mΩ", "is_strict": True},
        {"value": "1.2"},
    ),
)
