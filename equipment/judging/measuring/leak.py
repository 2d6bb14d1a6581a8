"""A leak test: the pressure's drop in a time, with the temperature held (AC 43.13-1B ¶9-50b)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from equipment.judging.verdicts import Judgement, amount_words, off_words


@dataclass(frozen=True, slots=True)
class LeakRule:
    """The most drop after at least so long, and the change of temperature that it must stay under."""

    most_drop: Decimal
    unit: str
    minutes: Decimal
    steady_f: Decimal


@dataclass(frozen=True, slots=True)
class LeakReading:
    """Pressures in the rule's unit and temperatures in °F, before and after so many minutes."""

    before: Decimal
    after: Decimal
    before_f: Decimal | None
    after_f: Decimal | None
    minutes: Decimal


def judge_leak(rule: LeakRule, reading: LeakReading) -> Judgement:
    """Whether the drop is within the limit; a test too short or at unsteady warmth is not judged."""
    reason = _why_not_valid(rule, reading)
    if reason:
        return Judgement("cannot_judge", f"The test is not valid: {reason}.")
    drop = reading.before - reading.after
    said, most = amount_words(drop, rule.unit), amount_words(rule.most_drop, rule.unit)
    if drop <= rule.most_drop:
        return Judgement("in", f"A drop of {said} is within the limit, at most {most}.")
    by = f"{off_words(drop - rule.most_drop, rule.unit)} too much"
    return Judgement("out", f"A drop of {said} is more than {most}: {by}.", by)


def _why_not_valid(rule: LeakRule, reading: LeakReading) -> str:
    if reading.before_f is None or reading.after_f is None:
        return "the temperature is not recorded both times"
    change = abs(reading.after_f - reading.before_f)
    if change >= rule.steady_f:
        allowed = amount_words(rule.steady_f, "°F")
        return f"the temperature changed by {amount_words(change, '°F')}, not less than {allowed}"
    if reading.minutes < rule.minutes:
        taken, needed = amount_words(reading.minutes, "min"), amount_words(rule.minutes, "min")
        return f"it lasted {taken}, not {needed}"
    return ""
