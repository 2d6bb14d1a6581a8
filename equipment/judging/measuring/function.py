"""A function test: it worked or it did not, with a reading where the step asks for one."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

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
