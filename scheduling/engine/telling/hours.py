"""The sentences of one clock in hours, cycles or a measure of the unit's own."""

from __future__ import annotations

import numpy as np

from fleet.words.said import count_words, day_words, hours_words
from scheduling.engine.basis.columns import Measure
from scheduling.engine.totals.usage import DAY_SECONDS, FAR, end_of, seconds

from .amounts import why_amount
from .flying import overdue_since, projection
from .sentences import extension_and_backstop, start_sentence
from .story import ClockStory
from .wording import day_said, measured, quantity


def measure_steps(story: ClockStory) -> list[str]:
    """From the total at the start to what is left, and the day that comes to."""
    steps = [start_sentence(story), _start_total(story), _addition(story)]
    steps += [*extension_and_backstop(story), *_now(story)]
    return [*steps, *overdue_since(story), *projection(story)]


def _measure(story: ClockStory) -> Measure:
    return story.facts.measures[story.facts.measure_index(story.clock.measure)]


def _start_total(story: ClockStory) -> str:
    result, items = story.result, story.facts.items
    measure = _measure(story)
    index = story.facts.measure_index(story.clock.measure)
    total = measured(measure, int(result.start_total[0]))
    if result.since_start[0]:
        return f"No life statement bears its total, so {measure.name} are counted from that start."
    if result.from_original[0]:
        return f"Its total at the original due was {total}."
    if not np.isnat(items.done_on[0]) and items.done_total[0, index] == result.start_total[0]:
        return f"Its total recorded at the work was {total}."
    return f"Its total then was {total}{_how_read(story, _start_at(story))}."


def _addition(story: ClockStory) -> str:
    result, clock = story.result, story.clock
    why = why_amount(story)
    amount = quantity(clock, int(result.amount[0]), story.facts)
    limit_at = measured(_measure(story), int(result.limit_at[0]))
    total = _bare(story, int(result.start_total[0]))
    at = "due when the total reaches it" if clock.compares == "at" else "due after it"
    return f"{total} + {amount}{f' ({why})' if why else ''} = {limit_at}, {at}."


def _bare(story: ClockStory, value: int) -> str:
    return hours_words(value) if _measure(story).is_hours else count_words(value)


def _now(story: ClockStory) -> list[str]:
    result, measure = story.result, _measure(story)
    left = int(result.left[0])
    rest = f"{_bare(story, abs(left))} {'remaining' if left >= 0 else 'over'}"
    now = f"On {day_words(story.as_of)} its total is {measured(measure, int(result.total[0]))}"
    if int(story.facts.items.unit[0]) < 0:
        return [f"{now}{_as_read(story)}: {rest}."]
    stated_at, stated = _statement(story)
    if not measure.of_aircraft:
        return [f"{now}{stated}: {rest}."]
    return [*_flights(story, stated_at), f"{now}{stated}: {rest}."]


def _statement(story: ClockStory) -> tuple[int, str]:
    """The instant that the total counts on from, and the statement there in words."""
    unit = int(story.facts.items.unit[0])
    index = story.facts.measure_index(story.clock.measure)
    statements = story.facts.statements
    rows = np.flatnonzero((statements.unit == unit) & (statements.measure == index))
    at = end_of(statements.stated_on[rows])
    rows = rows[at <= story.reckoner.aircraft.now]
    if story.result.since_start[0] or not len(rows):
        start = story.reckoner.periods.fitted_that_day(np.array([unit]), story.result.start_on)
        is_new = bool(story.facts.units.new_when_first_recorded[unit])
        return (-FAR if is_new else int(start[0])), ""
    stated = int(statements.total[rows[-1]])
    words = f" ({_bare(story, stated)} stated on {day_said(statements.stated_on[rows[-1]])}"
    flown = int(story.result.total[0]) - stated
    verb = "more" if _measure(story).is_further else "flown"
    since = f", {_bare(story, flown)} {verb} since)" if _measure(story).of_aircraft else ")"
    return int(end_of(statements.stated_on[rows[-1:]])[0]), words + since


def _flights(story: ClockStory, since: int) -> list[str]:
    """Each stretch on an aircraft that the total counts, with the aircraft's totals at its ends."""
    index = story.facts.measure_index(story.clock.measure)
    now = story.reckoner.aircraft.now
    units = story.reckoner.units(index)
    steps = []
    for one in units.stretches(int(story.facts.items.unit[0]), since, now):
        # Statements and the day asked hold at the end of their day, movements at their instant.
        is_fitting = one.begun == int(story.reckoner.periods.begun[one.row])
        begun = _day(one.begun - (one.begun == since and not is_fitting))
        ended = _day(one.ended - (one.ended == now))
        named = story.facts.fitted_at
        where = f"{named[one.row]}," if named and named[one.row] else "an aircraft"
        steps.append(
            f"On {where} from {begun} ({_bare(story, one.first)} on the aircraft) to "
            f"{ended} ({_bare(story, one.last)}): {_bare(story, one.last - one.first)}."
        )
    return steps


def _day(second: int) -> str:
    return day_said(np.datetime64(second // DAY_SECONDS, "D"))


def _as_read(story: ClockStory) -> str:
    """Of an aircraft: the day of the reading that the total stands on."""
    index = story.facts.measure_index(story.clock.measure)
    aircraft = int(story.facts.aircraft_of_items()[0])
    base = int(story.reckoner.aircraft.rates(index).base_at[aircraft])
    return f" (as read by {_day(base - 1)})"


def _start_at(story: ClockStory) -> int:
    """The instant at which the total at the start is taken."""
    start = story.result.start_on
    if int(story.facts.items.unit[0]) < 0:
        return int(end_of(start)[0])
    unit = story.facts.items.unit
    return int(story.reckoner.periods.fitted_that_day(unit, start)[0])


def _how_read(story: ClockStory, second: int) -> str:
    """Of a total that was not read at that instant, between which readings it is reckoned."""
    aircraft = _aircraft_at(story, second)
    if aircraft < 0 or not _measure(story).of_aircraft:
        return ""
    readings = story.facts.readings
    index = story.facts.measure_index(story.clock.measure)
    mine = (readings.aircraft == aircraft) & (readings.measure == index)
    at = seconds(readings.at[mine])
    before, after = at[at <= second], at[at > second]
    if not len(before) or before[-1] == second:
        return ""
    if not len(after):
        return f", as read on {_day(int(before[-1]) - 1)}"
    first, last = _day(int(before[-1]) - 1), _day(int(after[0]) - 1)
    return f", reckoned between the readings of {first} and {last}"


def _aircraft_at(story: ClockStory, second: int) -> int:
    """The aircraft whose total a subject's total follows at an instant, -1 for none."""
    unit = int(story.facts.items.unit[0])
    if unit < 0:
        return int(story.facts.items.aircraft[0])
    periods = story.reckoner.periods
    rows = range(int(periods.first[unit]), int(periods.first[unit + 1]))
    there = [row for row in rows if periods.begun[row] < second < periods.ended[row]]
    return int(periods.aircraft[there[0]]) if there else -1
