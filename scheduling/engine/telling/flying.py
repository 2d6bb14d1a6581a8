"""The sentences on when a total passed its limit, and on how long what is left will last."""

from __future__ import annotations

import numpy as np

from fleet.words.said import count_words, days_words, hours_words
from scheduling.engine.basis.columns import UNKNOWN, Bools, Dates, Ints
from scheduling.engine.basis.months import ONE_DAY, day_of
from scheduling.engine.basis.words import COMPARES
from scheduling.engine.totals.usage import DAY_SECONDS, end_of

from .story import ClockStory
from .wording import day_said, measured

_MOST_DAYS = 40_000


def overdue_since(story: ClockStory) -> list[str]:
    """The day on which the total had first passed what it may be, where the totals tell one."""
    result, measure = story.result, story.facts.measures[_index(story)]
    due_at, now = int(result.due_at[0]), int(result.total[0])
    edge = COMPARES[story.clock.compares].edge
    if UNKNOWN in (due_at, now) or due_at - now >= edge or result.since_start[0]:
        return []
    days = _days(story)
    totals = _totals(story, days)
    past = np.flatnonzero((totals != UNKNOWN) & (due_at - totals < edge))
    if not len(past) or not past[0]:
        return []
    row = int(past[0])
    verb = "flown" if measure.of_aircraft else "stated"
    return [
        f"Overdue since {day_said(days[row])}, when {measured(measure, int(totals[row]))} were {verb}."
    ]


def _index(story: ClockStory) -> int:
    return story.facts.measure_index(story.clock.measure)


def _days(story: ClockStory) -> Dates:
    """Every day from the start through the day asked, as far back as days are worth counting."""
    last = day_of(story.as_of)
    earliest = last - np.timedelta64(_MOST_DAYS, "D")
    start = story.result.start_on[0]
    first = earliest if np.isnat(start) else max(start, earliest)
    return np.arange(first, last + ONE_DAY)


def _totals(story: ClockStory, days: Dates) -> Ints:
    index, unit = _index(story), int(story.facts.items.unit[0])
    if unit < 0:
        aircraft = np.full(len(days), int(story.facts.items.aircraft[0]))
        return story.reckoner.aircraft.at(index, aircraft, end_of(days))
    return story.reckoner.units(index).at(np.full(len(days), unit), end_of(days)).total


def projection(story: ClockStory) -> list[str]:
    """At which rate what is left lasts until when; what is known of days to come, in their order."""
    result = story.result
    if not result.is_projected[0]:
        return []
    aircraft = int(story.facts.aircraft_of_items()[0])
    base, until = day_said(result.base_on[0]), day_said(result.limit_on[0])
    table = story.facts.aircraft
    planned = int(table.per_day_milli[aircraft, _index(story)])
    now = "parked" if table.parked[aircraft] else _rate(story, aircraft, planned)
    changes = _changes(story, aircraft)
    if now != "parked":
        now = f"at {now}"
    words = f"{now[0].upper()}{now[1:]} from {base}{''.join(changes)}"
    return [f"{words}{', ' if changes else ' '}that lasts until about {until}."]


def _rate(story: ClockStory, aircraft: int, planned: int) -> str:
    """A rate with the digits that it is reckoned with: what was flown in how many days, or the figure."""
    if planned >= 0:
        return f"{_per_day(story, planned / 1000)} a day (the planner's figure)"
    gain, span = story.reckoner.aircraft.trailing(_index(story))
    flown, days = int(gain[aircraft]), int(span[aircraft]) / DAY_SECONDS
    if not flown:
        return "no known rate"
    words = hours_words(flown) if _is_hours(story) else count_words(flown)
    last = days_words(int(days)) if days == int(days) else f"{days:.2f} days"
    return f"{_per_day(story, flown / days)} a day ({words} in the last {last})"


def _is_hours(story: ClockStory) -> bool:
    return story.facts.measures[_index(story)].is_hours


def _per_day(story: ClockStory, amount: float) -> str:
    return f"{amount / 60:.4f} hours" if _is_hours(story) else f"{amount:.4f}"


def _changes(story: ClockStory, aircraft: int) -> list[str]:
    """What changes before the day that the rest lasts until."""
    ahead = story.facts.ahead
    if ahead is None:
        return []
    mine: Bools = (ahead.aircraft == aircraft) & (ahead.from_on <= story.result.limit_on[0])
    found = []
    for row in np.flatnonzero(mine).tolist():
        since = day_said(ahead.from_on[row])
        planned = int(ahead.per_day_milli[row, _index(story)])
        rate = "parked" if ahead.parked[row] else f"at {_rate(story, aircraft, planned)}"
        found.append(f", {rate} from {since}")
    return found
