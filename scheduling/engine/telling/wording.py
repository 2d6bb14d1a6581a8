"""The rules of a clock in the words a person would read them in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

import numpy as np

from fleet.words.said import count_words, day_words, days_words, hours_words
from scheduling.engine.basis.columns import UNKNOWN, Facts, Measure
from scheduling.engine.basis.limits import Amount, Clock, Limit
from scheduling.engine.basis.words import AGES, STARTS, TURNS


def date_of(day: np.datetime64) -> date | None:
    """A date of a column as Python's, None where unknown."""
    if np.isnat(day):
        return None
    found: date = day.astype("datetime64[D]").item()
    return found


def day_said(day: np.datetime64) -> str:
    """``3 Mar 2027``, or ``an unknown day``."""
    return day_words(date_of(day)) or "an unknown day"


def quantity(clock: Clock, value: int, facts: Facts) -> str:
    """An amount or total with its measure: ``36 months``, ``1 350:00 flight hours``."""
    if clock.measure == "months":
        return f"{count_words(value)} month{'' if value == 1 else 's'}"
    if clock.measure == "days":
        return days_words(value)
    return measured(facts.measures[facts.measure_index(clock.measure)], value)


def measured(measure: Measure, value: int) -> str:
    """``12 345:30 flight hours``, ``4 380 fillings``; a total that nobody knows says so."""
    if value == UNKNOWN:
        return f"unknown {measure.name}"
    return f"{hours_words(value) if measure.is_hours else count_words(value)} {measure.name}"


def conditions(amount: Amount) -> str:
    """Why this amount and no other: by turn, age, method, standard; empty for one of all."""
    parts = [TURNS[amount.when].said]
    if amount.share is not None:
        parts.append(f"{amount.share} of the stated life")
    parts += [say(amount) for name, say in CHOSEN_BY.items() if getattr(amount, name) is not None]
    return ", ".join(part for part in parts if part)


def _age(amount: Amount) -> str:
    years, months = divmod(amount.age_from_months or 0, 12)
    age = f"{years} years" if not months else f"{amount.age_from_months} months"
    return f"from an age of {age} {AGES[amount.age_basis].said}"


#: How each condition of an amount is said.
CHOSEN_BY: Mapping[str, Callable[[Amount], str]] = {
    "age_from_months": _age,
    "method": lambda amount: f"after {amount.method}",
    "standard": lambda amount: f"at standard {amount.standard or 'as built'}",
}


def rule_of(clock: Clock, facts: Facts) -> str:
    """The clock's rule in short: ``36 months from the last work``."""
    counted = sorted({one.value for one in clock.amounts if one.value is not None})
    amounts = " or ".join(quantity(clock, value, facts) for value in counted)
    shares = [str(one.share) for one in clock.amounts if one.share is not None]
    if shares:
        amounts = f"{' or '.join([amounts] if amounts else [])}{shares[0]} of the stated life"
    start = STARTS[clock.counts_from].said
    if clock.counts_from == "given_date":
        start = day_words(clock.given_on)
    first = f" (first from {STARTS[clock.first_from].said})" if clock.first_from else ""
    return f"{amounts} from {start}{first}"


def source_of(limit: Limit) -> str:
    """Document and revision."""
    return f"{limit.document} revision {limit.document_revision}"
