"""The sentences of one clock in months or days, and of its end."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from fleet.words.said import day_words, days_words
from scheduling.engine.basis.columns import MONTH, UNKNOWN, YEAR, Measure
from scheduling.engine.basis.limits import Clock, Start
from scheduling.engine.basis.result import Due
from scheduling.engine.basis.words import ANCHORS, COMPARES, ROUNDS, RUNS, STAMPS, STARTS

from .amounts import made_on, why_amount
from .story import ClockStory
from .wording import date_of, day_said, measured, quantity


def calendar_steps(story: ClockStory) -> list[str]:
    """From the start to the last good day."""
    steps = [start_sentence(story), *_not_counted(story), _addition(story), *_rounding(story)]
    return [*steps, *extension_and_backstop(story)]


def start_sentence(story: ClockStory) -> str:
    """The fact that the clock counts from, and how exactly it is known."""
    clock, result, items = story.clock, story.result, story.facts.items
    day = day_said(result.start_on[0])
    if np.isnat(result.start_on[0]):
        day = "on a day that is not recorded"
    if result.from_original[0]:
        done = day_said(items.done_on[0])
        return (
            f"The last work, {done}, was done inside its variation, so it counts from the original "
            f"due date, {day_said(items.original_due_on[0])}."
        )
    never = np.isnat(items.done_on[0])
    start: Start | None = clock.counts_from
    if start == "last_done" and never:
        start = clock.first_from
    if start is None:
        return f"Counts from {day}."
    more = _MORE[start](story) if start in _MORE else ""
    never_done = ", as it was never done" if clock.first_from and never else ""
    return f"Counts from {STARTS[start].said}, {day}{more}{never_done}."


def _which_date(story: ClockStory) -> str:
    items, anchor = story.facts.items, ANCHORS[story.clock.anchor]
    if not np.isnat(getattr(items, anchor.dated)[0]):
        return f", {anchor.said}"
    return _as_stamped(story.clock, int(items.done_precision[0]))


def _stamp(story: ClockStory) -> str:
    unit = int(story.facts.items.unit[0])
    if unit < 0 or np.isnat(story.result.start_on[0]):
        return ""
    return _as_stamped(story.clock, int(story.facts.units.manufactured_precision[unit]))


#: What else there is to say of the day of a start.
_MORE: Mapping[Start, Callable[[ClockStory], str]] = {
    "manufacture": _stamp,
    "last_done": _which_date,
}


def _as_stamped(clock: Clock, precision: int) -> str:
    if precision == MONTH:
        stands = STAMPS[clock.month_only_stamp].said
        return f" (the stamp has month and year only: {stands})"
    return " (the stamp has the year only: its first day)" if precision == YEAR else ""


def _not_counted(story: ClockStory) -> list[str]:
    clock, result = story.clock, story.result
    days = int(result.excluded[0])
    if clock.runs == "always" or not (days or result.is_growing[0]):
        return []
    reason = RUNS[clock.runs].said.format(clock=clock)
    begins = day_said(result.start_on[0] + np.timedelta64(days, "D"))
    steps = [f"{days_words(days)} {reason}, so it is reckoned as if from {begins}."]
    if result.is_growing[0]:
        steps.append(f"That time still grows: the date holds as of {day_words(story.as_of)}.")
    return steps


def _addition(story: ClockStory) -> str:
    clock, result = story.clock, story.result
    amount = clock.amounts[int(result.amount_row[0])]
    why = why_amount(story)
    words = quantity(clock, int(result.amount[0]), story.facts)
    reached = day_said(result.reached_on[0])
    birthday = ""
    begins = result.start_on[0] + np.timedelta64(int(result.excluded[0]), "D")
    if amount.age_basis == "at_due" and amount.age_from_months:
        birthday = " (not before the day it comes to that age)"
    return f"{day_said(begins)} + {words}{f' ({why})' if why else ''} = {reached}{birthday}."


def _rounding(story: ClockStory) -> list[str]:
    clock, result = story.clock, story.result
    steps = []
    rounds, compares = ROUNDS[clock.rounds], COMPARES[clock.compares]
    if rounds.said:
        rounded = result.limit_on[0] + np.timedelta64(compares.edge, "D")
        steps.append(f"Rounded to {rounds.said}: {day_said(rounded)}.")
    if compares.said:
        last = day_said(result.limit_on[0])
        steps.append(f"It is due {compares.said}: the last good day is {last}.")
    return steps


def extension_and_backstop(story: ClockStory) -> list[str]:
    """What moves the limit, and what nothing moves."""
    result, facts = story.result, story.facts
    steps = []
    if result.is_extended[0]:
        index = int(facts.items.extension[0])
        number = facts.extension_numbers[index] if index >= 0 else "without a number"
        steps.append(f"Extension {number}, {_more(story)}, moves the limit to {_moved(story)}.")
    return [*steps, *_backstop(story)] if result.is_capped[0] else steps


def _moved(story: ClockStory) -> str:
    result, clock = story.result, story.clock
    if clock.is_calendar:
        return day_said(result.limit_on[0] + np.timedelta64(_extension(story)[0], "D"))
    return quantity(clock, int(result.limit_at[0]) + _extension(story)[0], story.facts)


def _more(story: ClockStory) -> str:
    """How much an extension adds, and where the limit allows less than was granted, of how much."""
    adds, granted = _extension(story)
    said = [
        days_words(one) if story.clock.is_calendar else quantity(story.clock, one, story.facts)
        for one in (adds, granted)
    ]
    return said[0] if adds == granted else f"{said[0]} at most of {said[1]}"


def _extension(story: ClockStory) -> tuple[int, int]:
    items, limit = story.facts.items, story.limit
    if story.clock.is_calendar:
        granted, most = items.extension_days, limit.extension_days_most
    elif _measure(story).is_hours:
        granted, most = items.extension_minutes, limit.extension_minutes_most
    else:
        granted, most = items.extension_count, limit.extension_count_most
    number = int(granted[0])
    return (number if most is None else min(number, most)), number


def _backstop(story: ClockStory) -> list[str]:
    """What caps it: a total since new, and the earlier of a given day and months from manufacture."""
    clock, result = story.clock, story.result
    steps, days = [], []
    if clock.never_later_total is not None and result.due_at[0] == clock.never_later_total:
        most = quantity(clock, clock.never_later_total, story.facts)
        steps.append(f"Never later than a total of {most} since new.")
    if clock.never_later_months is not None:
        made = made_on(story)
        since = f", {made}" if made else ""
        days.append(f"{clock.never_later_months} months from manufacture{since}")
    if clock.never_later_on is not None:
        days.append(day_words(clock.never_later_on))
    if days and not result.is_projected[0] and not np.isnat(result.due_on[0]):
        steps.append(f"Never later than {' or '.join(days)}: {day_said(result.due_on[0])}.")
    return steps


def ending(story: ClockStory, due: Due) -> str:
    """The result: the last good day, how far it is, and what the variation permits."""
    today = day_words(story.as_of)
    words = _verdict(story, due, today)
    until_on, until_at = due.variation_until_on[0], int(due.variation_until_at[0])
    if story.clock.is_calendar and not np.isnat(until_on) and until_on > due.due_on[0]:
        words += f" Its variation permits it until {day_said(until_on)}."
    elif not story.clock.is_calendar and until_at > UNKNOWN and until_at > _due_at(story):
        permitted = measured(_measure(story), until_at)
        words += f" Its variation permits it until {permitted}."
    return words


def _verdict(story: ClockStory, due: Due, today: str) -> str:
    left = due.left_days[0]
    if date_of(due.due_on[0]) is None:
        state = "past its limit" if due.is_past[0] else "within its limit, without a date"
        return f"On {today} it is {state}."
    about = "about " if due.due_on_projected[0] else ""
    day = day_said(due.due_on[0])
    if due.is_past[0]:
        return (
            f"The last good day was {about}{day}: on {today} it is overdue by {days_words(-left)}."
        )
    rest = f"{days_words(left)} remaining" if left else "it is due today"
    return f"The last good day is {about}{day}: on {today}, {rest}."


def _due_at(story: ClockStory) -> int:
    return int(story.result.due_at[0])


def _measure(story: ClockStory) -> Measure:
    return story.facts.measures[story.facts.measure_index(story.clock.measure)]
