"""The rules of a programme as plain data: a limit, its clocks, and how much each clock allows.

Nothing here reads a date or a database. The same words are the values of the columns of
``scheduling.models.limits``, so a row becomes a rule without translation.

What the words decide, wherever the engine uses them:

- **Months are added to the start**, never chained from one due date to the next; a short month's
  last day stands for a day it lacks (31 Jan + 1 month = 28 Feb; 29 Feb + 12 months = 28 Feb).
- **A due date is the last good day.** A clock that compares ``after`` is good through start +
  amount; one that compares ``at`` is good through the day before. In hours and cycles: overdue
  when the total is over (``after``), or has reached (``at``), start + amount.
- **Rounding comes last**: month end is the last day of the month in which start + amount falls.
- **A stamp of month and year** stands for the last day of its month, or its first where the clock
  says so. A stamp of a year alone stands for 1 January: nothing published lets it run longer.
- **Age** is in whole calendar months, by the same addition: the most months that, added to
  manufacture, do not pass the day.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Literal, get_args, get_origin, get_type_hints

Subject = Literal["unit", "position", "aircraft", "population"]
When = Literal["first", "last"]
Start = Literal["manufacture", "first_installation", "this_installation", "last_done", "given_date"]
Anchor = Literal["release", "shop_release", "original_due"]
Runs = Literal["always", "installed_only", "store_at_ratio", "store_up_to_cap"]
Rounds = Literal["day", "month_end"]
Stamp = Literal["end", "start"]
Compares = Literal["after", "at"]
RunsOut = Literal["may_not_fly", "until_emptied", "end_of_life"]
Turn = Literal["any", "first", "repeat"]
AgeBasis = Literal["at_work", "at_due"]

CALENDAR = ("months", "days")
#: By word, the field that it asks for besides, and what that is; a clock that lacks it is refused.
NEEDS = {
    "given_date": ("given_on", "the date"),
    "store_at_ratio": ("store_ratio", "the ratio"),
    "store_up_to_cap": ("store_cap_months", "the cap"),
}


@cache
def words_of(rule: type) -> dict[str, tuple[str, ...]]:
    """By field of a limit, clock or amount, the words that it may be said in."""
    found = {}
    for name, hint in get_type_hints(rule).items():
        said = [one for one in (hint, *get_args(hint)) if get_origin(one) is Literal]
        if said:
            found[name] = get_args(said[0])
    return found


def _refuse_unknown_words(rule: Limit | Clock | Amount) -> None:
    """A word that nobody knows is no rule: whatever is made of it could only be guessed."""
    kind: type = type(rule)
    for name, words in words_of(kind).items():
        said = getattr(rule, name)
        if said is not None and said not in words:
            raise ValueError(f"{said!r} is no word of {name}: say one of {', '.join(words)}.")


@dataclass(frozen=True, slots=True)
class Amount:
    """How much a clock allows: of its ordered amounts, the first whose conditions all hold.

    ``value`` is in the clock's measure: months, days, minutes or a count. ``share`` is a share of
    the unit's stated life instead, in whole months rounded down (half of 61 months is 30); only a
    clock in months can have one. ``when`` is *first* while the work was never done, *repeat* after.

    ``age_from_months``: only from that age of the unit on. ``at_work`` is the age on the day that
    the clock counts from; ``at_due`` the age on the day it falls due, and then the due day is the
    first on which the time gone by is as much as the unit's age on that very day allows: with 36
    months until 15 years and 12 from then on, work done at 13 years is due on the 15th birthday.

    ``method`` is that of the last work, ``standard`` the unit's modification standard. Where one
    that matters is not recorded, nothing is guessed: the item has no basis.
    """

    value: int | None = None
    share: Fraction | None = None
    when: Turn = "any"
    age_from_months: int | None = None
    age_basis: AgeBasis = "at_work"
    method: str | None = None
    standard: str | None = None

    def __post_init__(self) -> None:
        _refuse_unknown_words(self)
        if (self.value is None) == (self.share is None):
            raise ValueError("An amount is a number or a share of the stated life: give one.")
        if self.share is not None and not 0 < self.share <= 1:
            raise ValueError("A share of the stated life is more than 0 and at most 1.")


@dataclass(frozen=True, slots=True)
class Clock:
    """One line of a limit: so much of one measure, from one start. ``seq`` numbers it in its limit.

    ``counts_from`` is the start; ``first_from`` is the start of a clock that counts from *last
    done* while the work was never done (None: then the last work is a missing fact).
    ``anchor`` says which date of the last work counts: the aircraft's release, the shop's release,
    or the original due date where it was done inside the permitted variation; a date that is not
    recorded falls back to the day the work was done, which is never later.

    ``runs``: *always*; *installed_only*; *store_at_ratio*: a day in store counts ``store_ratio`` of
    a day; *store_up_to_cap*: time in store is not counted, up to ``store_cap_months``, each time
    anew (``store_cap_each``) or once for all times in store together, and only before the first
    fitting after the start where ``before_first_fitting``. Time not counted moves the start, in
    whole days rounded down; then the amount is added once. A cap ends the credit at the start of
    that time in store plus the cap's months. Hours, cycles and the unit's own measures count what
    was flown or used, so ``runs`` does not touch them. Time before the unit's first recorded stay
    counts as running.

    ``measure`` is "months", "days" or the code of a measure of the facts. An amount list that has
    nothing for this turn (first or repeat) means that the clock does not run then. A clock that counts
    from a given date asks for its work once: done on or after that date, it does not run any more.

    Never later than ``never_later_on``, ``never_later_months`` from manufacture (rounded and
    compared as the clock itself), ``never_later_total`` of its measure since new: an extension or
    variation does not move these, nor a clock that ends the unit's life.
    """

    seq: int
    counts_from: Start
    measure: str
    amounts: tuple[Amount, ...]
    first_from: Start | None = None
    given_on: date | None = None
    anchor: Anchor = "release"
    runs: Runs = "always"
    store_ratio: Fraction | None = None
    store_cap_months: int | None = None
    store_cap_each: bool = False
    before_first_fitting: bool = False
    rounds: Rounds = "day"
    month_only_stamp: Stamp = "end"
    compares: Compares = "after"
    never_later_on: date | None = None
    never_later_months: int | None = None
    never_later_total: int | None = None
    runs_out: RunsOut = "may_not_fly"

    @property
    def is_calendar(self) -> bool:
        return self.measure in CALENDAR

    def __post_init__(self) -> None:
        _refuse_unknown_words(self)
        if not self.amounts:
            raise ValueError(f"Clock {self.seq} has no amount: give at least one.")
        said = [getattr(self, name) for name in words_of(Clock)]
        for word, (needed, what) in NEEDS.items():
            if word in said and getattr(self, needed) is None:
                raise ValueError(f"Clock {self.seq} goes by {word}: give {what}.")
        if self.first_from == "last_done":
            raise ValueError(f"Clock {self.seq}: the first time cannot count from the last.")
        if self.measure != "months" and any(amount.share is not None for amount in self.amounts):
            raise ValueError(f"Clock {self.seq}: a share of the stated life is in months.")


@dataclass(frozen=True, slots=True)
class Variation:
    """The programme's own tolerance: days, or a percentage of the interval, each way.

    The percentage is of the interval in days (or in the measure), rounded down and capped by
    ``days_most``; where days and a percentage are both given, the lesser holds. ``minutes`` and
    ``count`` are for clocks in hours and in counts, by the same rule.
    """

    days: int = 0
    percent: Fraction = Fraction(0)
    days_most: int | None = None
    minutes: int = 0
    count: int = 0


@dataclass(frozen=True, slots=True)
class Limit:
    """This work falls due on these subjects at the first (or last) of its clocks.

    The due date is without variation: an item past it is overdue, and says so if it is still
    within its variation. An extension moves the due date itself (at most ``extension_*_most``); a
    variation counts from the date before the extension and is not added on top of it.
    ``next_from_original_due``: work done inside the variation, early or late, counts from the
    original due date; outside it, from the actual one. ``quota`` of a population: how many works
    in the rolling interval; its facts give the quota-th latest work as the last done.
    """

    code: str
    revision: str
    title: str
    work: str
    document: str
    document_revision: str
    clocks: tuple[Clock, ...]
    subject: Subject = "unit"
    when: When = "first"
    variation: Variation = Variation()
    next_from_original_due: bool = False
    extendable: bool = False
    extension_days_most: int | None = None
    extension_minutes_most: int | None = None
    extension_count_most: int | None = None
    quota: int | None = None

    def __post_init__(self) -> None:
        _refuse_unknown_words(self)
        seqs = [clock.seq for clock in self.clocks]
        if len(set(seqs)) != len(seqs):
            raise ValueError(f"Limit {self.code}: two clocks have the same number.")
