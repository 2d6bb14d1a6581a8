"""Whether a total typed is like what an aircraft flies: plain arithmetic over plain data, no clock."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fleet.words.said import count_words, day_words, days_words, hours_words

#: The usual rate is taken over so many days before the latest reading.
TRAILING = timedelta(days=120)
#: So many times the usual rate is questioned, and so much a day where none is known.
FACTOR = 3
MINUTES_A_DAY = 24 * 60
COUNTS_A_DAY = 16

Reading = tuple[date, int]


@dataclass(frozen=True, slots=True)
class Question:
    """Why a total is doubted: ``code`` for programs, ``words`` with the figures it rests on."""

    code: str
    words: str


def usual_per_day(readings: Sequence[Reading]) -> float | None:
    """Use per day between the latest reading and the first of the 120 days before it; None where two
    readings of different days are not there. ``readings`` in order of day."""
    if len(readings) < 2:
        return None
    last_on, last = readings[-1]
    near = [one for one in readings if last_on - TRAILING <= one[0] < last_on]
    first_on, first = near[0] if near else readings[-2]
    days = (last_on - first_on).days
    return (last - first) / days if days > 0 and last >= first else None


def question_of(
    readings: Sequence[Reading], on: date, total: int, *, is_hours: bool
) -> Question | None:
    """Whether a total read on a day is to be asked about: less than before, more than a day can hold,
    or over three times the usual use. None where it is as usual, or where nothing was read before.

    ``readings`` are those that count, in order of day; totals in minutes where ``is_hours``.
    """
    before = [one for one in readings if one[0] < on]
    if not before:
        return None
    last_on, last = before[-1]
    days = (on - last_on).days
    said = _said(is_hours)
    if total < last:
        words = f"{said(total)} is less than the {said(last)} read on {day_words(last_on)}."
        return Question("total_runs_backwards", words)
    used, most = total - last, MINUTES_A_DAY if is_hours else COUNTS_A_DAY
    since = f"{said(used)} in {days_words(days)} since {day_words(last_on)}"
    if used > most * days:
        limit = "no day has so many hours" if is_hours else f"that is over {most} a day"
        return Question("more_than_days_hold", f"{since}: {limit}.")
    usual = usual_per_day(before)
    if usual and used > usual * days * FACTOR:
        words = f"{since}; usual is {said(round(usual * days))} in as many days."
        return Question("more_than_usual", words)
    return None


def _said(is_hours: bool) -> Callable[[int], str]:
    return (lambda total: f"{hours_words(total)} h") if is_hours else count_words
