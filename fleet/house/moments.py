"""Whether what is said to have happened can have happened yet: one rule, whoever asks."""

from __future__ import annotations

import datetime as dt
from datetime import UTC, date, datetime, timedelta

from fleet.words.said import day_words

from .refusals import Refusal, Refused

#: Where the day begins first on earth it is tomorrow already while it is today by UTC.
ELSEWHERE = timedelta(days=1)
WHEN_IT_HAS = "record what happened, when it has."


def has_come(when: date | datetime, at: datetime) -> bool:
    """Whether a moment or a day has come by ``at``.

    A moment (or the beginning of a day in a zone that is known) has come when it is not after ``at``:
    no tolerance. Of a day alone nobody knows in which zone it was said: it has come when it is not
    after tomorrow by UTC, and that is the one tolerance there is.
    """
    if isinstance(when, datetime):
        return when <= at
    return when <= at.astimezone(UTC).date() + ELSEWHERE


def why_future(
    when: date | datetime | None,
    at: datetime,
    field: str | None,
    advice: str = WHEN_IT_HAS,
    code: str = "in_the_future",
) -> list[Refusal]:
    """A refusal of what has not come yet, with what to do instead; nothing against no date at all."""
    if when is None or has_come(when, at):
        return []
    day = when.date() if isinstance(when, datetime) else when
    return [Refusal(code, f"{day_words(day)} has not come yet: {advice}", field)]


def refuse_future(
    when: date | datetime | None, at: datetime, field: str | None, advice: str = WHEN_IT_HAS
) -> None:
    """This will refuse (``in_the_future``) what has not come yet, as ``has_come`` tells it."""
    if refusals := why_future(when, at, field, advice):
        raise Refused.all_of(refusals)


# Years beyond are typing mistakes: nothing flown is older, and no plan reaches further.
FIRST_YEAR, LAST_YEAR = 1950, 2150


def is_plausible(day: dt.date) -> bool:
    """Whether a day lies in the years that anything can be of, through whichever door it comes."""
    return FIRST_YEAR <= day.year <= LAST_YEAR
