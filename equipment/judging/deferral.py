"""How long a defect may stay deferred by its category, and extended: rules over plain data.

The intervals are those published with master minimum equipment lists: B three, C ten and D a hundred and
twenty consecutive calendar days, the day of discovery not counted; A as its item says. Of B, C and D
one extension, no longer than the interval itself (ORO.MLR.105 (f)).
"""

from __future__ import annotations

from datetime import date, timedelta

from fleet.house.refusals import Refusal
from fleet.words.said import day_words

CATEGORIES = ("A", "B", "C", "D")
DAYS = {"B": 3, "C": 10, "D": 120}


def last_day(category: str, found_on: date) -> date | None:
    """The last day of the interval; None where the item itself says how long (A), or nothing does."""
    days = DAYS.get(category.strip().upper())
    return found_on + timedelta(days=days) if days else None


def why_not_until(category: str, found_on: date, expires_on: date) -> list[Refusal]:
    """Why an item of this category may not stay open until a day, or is of no category at all."""
    code = category.strip().upper()
    if code and code not in CATEGORIES:
        words = f"There is no category “{category.strip()}”. Give A, B, C or D, or leave it out."
        return [Refusal("unknown_category", words, "category")]
    last = last_day(code, found_on)
    if last is None or expires_on <= last:
        return []
    words = (
        f"Category {code} is {DAYS[code]} days from the day after it was found: until {day_words(last)} at the"
        " latest. A longer time is an extension, with its approval."
    )
    return [Refusal("beyond_category", words, "expires_on")]


def why_not_extend(
    category: str, expires_on: date, until: date, *, is_extended: bool
) -> list[Refusal]:
    """Why an item open until ``expires_on`` may not be extended to ``until``."""
    days = DAYS.get(category.strip().upper())
    if days is None:
        words = "Only an item of category B, C or D is extended; another stays open as its document says."
        return [Refusal("not_extended", words, "expires_on")]
    if is_extended:
        return [
            Refusal(
                "extended_already", "It was extended once: there is no second time.", "expires_on"
            )
        ]
    last = expires_on + timedelta(days=days)
    if expires_on < until <= last:
        return []
    words = (
        f"An extension goes beyond {day_words(expires_on)} and, of category {category.strip().upper()}, no"
        f" further than {days} days: until {day_words(last)}."
    )
    return [Refusal("beyond_extension", words, "expires_on")]


def every_words(days: int | None, hours: int | None) -> str:
    """``every 3 days or 25 flight hours``; empty where nothing is repeated by a clock."""
    parts = [
        f"{count} {one}{'' if count == 1 else 's'}"
        for count, one in ((days, "day"), (hours, "flight hour"))
        if count
    ]
    return f"every {' or '.join(parts)}" if parts else ""


def why_not_repeated(said: str, days: int | None, hours: int | None) -> list[Refusal]:
    """Why what is repeated may not be repeated so: a clock needs an action that is said."""
    if said.strip() or (days is None and hours is None):
        return []
    words = "Say what is repeated meanwhile: an interval is given for it."
    return [Refusal("repeat_action_missing", words, "repeat_actions")]
