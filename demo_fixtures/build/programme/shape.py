"""What a rule of the invented programme is made of, and the clocks that many rules share.

Amounts are in months, days, minutes (hours are written as ``12000:00`` in the sheets) or counts.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from ..operator import REFERENCE

HOUR = 60


def from_reference(days: int) -> date:
    """The day so many days after (or before) the reference day."""
    return REFERENCE + timedelta(days=days)


@dataclass(frozen=True, slots=True)
class Amount:
    """How much a clock allows; the first that matches counts."""

    value: int | None = None
    share: str = ""
    when: str = "any"
    age_from: int | None = None
    age_basis: str = "at_work"
    method: str = ""
    standard: str = ""


@dataclass(frozen=True, slots=True)
class Clock:
    """One line of a limit."""

    measure: str
    amounts: list[Amount]
    counts_from: str = "last_done"
    first_from: str = ""
    given_on: date | None = None
    anchor: str = "release"
    runs: str = "always"
    ratio: int | None = None
    cap: int | None = None
    cap_each: bool = False
    before_first: bool = False
    rounds: str = "day"
    stamp: str = "end"
    compares: str = "after"
    never_later_on: date | None = None
    never_later_months: int | None = None
    runs_out: str = "may_not_fly"


@dataclass(frozen=True, slots=True)
class Limit:
    """A rule of the programme; lists that are empty mean all."""

    code: str
    title: str
    work: str
    clocks: list[Clock]
    document: str
    document_revision: str = "7"
    revision: str = "3"
    subject: str = "unit"
    kind: str = ""
    parts: list[str] = field(default_factory=list)
    standards: list[str] = field(default_factory=list)
    serials: list[str] = field(default_factory=list)
    positions: list[str] = field(default_factory=list)
    msns: list[str] = field(default_factory=list)
    manufactured_to: date | None = None
    from_on: date | None = None
    until_on: date | None = None
    when: str = "first"
    directive: bool = False
    paragraph: str = ""
    quota: int | None = None
    resets: list[str] = field(default_factory=list)
    variation_days: int = 0
    variation_percent: str = ""
    variation_most: int | None = None
    variation_minutes: int = 0
    variation_count: int = 0
    from_original: bool = False
    extendable: bool = False
    extension_days: int | None = None


def months(value: int, **more: object) -> Clock:
    """So many calendar months."""
    return replace(Clock("months", [Amount(value)]), **more)  # type: ignore[arg-type]


def pressure_test(value: int, life: int | None = None) -> Clock:
    """A pressure test from the stamped month: may stay until emptied, never outlives the life."""
    return months(
        value,
        first_from="manufacture",
        anchor="shop_release",
        rounds="month_end",
        never_later_months=life,
        runs_out="until_emptied",
    )


def life(age: int, measure: str, count: int, compares: str = "after") -> list[Clock]:
    """A life in months and in a count, whichever comes first; then never again."""
    return [
        months(age, counts_from="manufacture", rounds="month_end", runs_out="end_of_life"),
        Clock(
            measure,
            [Amount(count)],
            counts_from="manufacture",
            compares=compares,
            runs_out="end_of_life",
        ),
    ]


def pyramid(first: int, old: int, basis: str) -> list[Amount]:
    """So many months until the unit is 15 years old, then fewer."""
    return [Amount(old, age_from=180, age_basis=basis), Amount(first)]
