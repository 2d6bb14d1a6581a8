"""How a due date comes about, in sentences that a person can follow with a pencil.

The same arithmetic as the list's, over a batch of one: what is said is what was reckoned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fleet.words.said import day_words, days_words, left_words
from scheduling.engine.basis.clockwork import ClockResult
from scheduling.engine.basis.columns import UNKNOWN, Facts
from scheduling.engine.basis.limits import Clock, Limit, RunsOut
from scheduling.engine.basis.months import ONE_DAY, day_of
from scheduling.engine.basis.result import Due, State, Stop, missing_words
from scheduling.engine.basis.starts import is_met, subjects_of
from scheduling.engine.basis.words import RUNS_OUT
from scheduling.engine.clocks.ahead import asked_from
from scheduling.engine.clocks.due import clock_results, reckon, stop_of
from scheduling.engine.clocks.leaving import while_in_fleet
from scheduling.engine.totals.subjects import Reckoner

from .hours import measure_steps
from .leaving import leaving_steps
from .sentences import calendar_steps, ending
from .story import ClockStory
from .wording import date_of, day_said, quantity, rule_of, source_of

_STOPPED: dict[int, RunsOut] = {
    Stop.UNTIL_EMPTIED: "until_emptied",
    Stop.MAY_NOT_FLY: "may_not_fly",
    Stop.END_OF_LIFE: "end_of_life",
}


@dataclass(frozen=True, slots=True)
class ClockSpan:
    """One clock as it can be drawn: from its start to its last good day (None where not known)."""

    seq: int
    words: str
    start_on: date | None
    end_on: date | None
    detail: str
    is_projected: bool


@dataclass(frozen=True, slots=True)
class Explained:
    """``steps`` lead to the result in order; ``others`` say how far behind the other clocks are;
    ``clocks`` can be drawn, the one that decided first; ``document`` is source and revision."""

    steps: list[str]
    others: list[str]
    clocks: list[ClockSpan]
    document: str


def explain(limits: Sequence[Limit], facts: Facts, item: int, as_of: date) -> list[str]:
    """All sentences on one due item (its row in ``facts.items``) as of a day, in pencil order."""
    told = explained(limits, facts, item, as_of)
    return [*told.steps, *told.others]


def explained(
    limits: Sequence[Limit], facts: Facts, item: int, as_of: date, from_on: date | None = None
) -> Explained:
    """One due item explained, in sentences and as lines to draw. ``from_on``: the later day from which
    its rule is in force."""
    limit = limits[int(facts.items.limit[item])]
    one = facts.only(np.array([item]))
    due = reckon(limits, one, as_of)
    subjects = subjects_of(limit, one, one.items, day_of(as_of))
    reckoner = Reckoner(one, day_of(as_of))
    stories = [
        ClockStory(limit, clock, result, one, reckoner, as_of)
        for clock, result in zip(limit.clocks, clock_results(subjects, reckoner), strict=True)
    ]
    asks: list[str] = []
    if from_on is not None:
        asks = [_to_come(due, from_on)]
        due = asked_from(due, np.array([day_of(from_on)]), as_of)
    leaving = leaving_steps(due, one)
    due = while_in_fleet(due, one, as_of)
    winner = int(due.decided_by[0])
    stories.sort(key=lambda story: story.clock.seq != winner)
    told = stories[0] if winner >= 0 else None
    return Explained(
        steps=[_heading(limit), *_steps(told, stories, (due, asks), as_of), *leaving],
        others=[_behind(other, told) for other in stories if told and other is not told],
        clocks=[_span(story) for story in stories if story.result.runs[0]],
        document=source_of(limit),
    )


def _heading(limit: Limit) -> str:
    number = len(limit.clocks)
    which = f" The {limit.when} of its {number} clocks decides." if number > 1 else ""
    return f"{limit.title}: limit {limit.code} revision {limit.revision}, by {source_of(limit)}.{which}"


def _to_come(due: Due, from_on: date) -> str:
    """From when the rule is in force, and what that does to a date before it."""
    words = f"In force from {day_words(from_on)}: before that day it asks nothing"
    eve = day_of(from_on) - ONE_DAY
    if due.is_past[0] or due.due_on[0] < eve:
        return f"{words}, so what would be past then is good through the day before."
    return f"{words}."


def _steps(
    told: ClockStory | None, stories: list[ClockStory], ended: tuple[Due, list[str]], as_of: date
) -> list[str]:
    due, asks = ended
    if due.state[0] == State.NO_BASIS:
        return [*_no_basis(stories, due), *asks]
    if told is None:
        return [*(_waiting(story) for story in stories), *asks]
    steps = [*clock_steps(told), *asks, ending(told, due), _at_the_end(told)]
    if due.missing[0]:
        lacks = ", ".join(missing_words(int(due.missing[0])))
        steps.append(f"It is past its limit whatever else: not recorded is {lacks}.")
    return steps


def _at_the_end(told: ClockStory) -> str:
    stop = int(stop_of(told.clock, told.result)[0])
    return RUNS_OUT[_STOPPED[stop]].said


def clock_steps(story: ClockStory) -> list[str]:
    """The sentences of one clock, from its start to its last good day."""
    return calendar_steps(story) if story.clock.is_calendar else measure_steps(story)


def _no_basis(stories: list[ClockStory], due: Due) -> list[str]:
    lacks = missing_words(int(due.missing[0]))
    steps = [f"It cannot be computed. Not recorded: {', '.join(lacks)}."]
    for story in stories:
        if not story.result.runs[0]:
            steps.append(_waiting(story))
        elif story.result.missing[0]:
            steps.append(_worst(story))
        else:
            steps.append(f"Known is {_summary(story)}.")
    worst = due.worst_on[0]
    if np.isnat(worst):
        return [*steps, "The known facts give no date at all."]
    return [*steps, f"On the known facts the worst date is {day_said(worst)}."]


def _worst(story: ClockStory) -> str:
    lacks = ", ".join(missing_words(int(story.result.missing[0])))
    rule = rule_of(story.clock, story.facts)
    worst, start = story.result.worst_on[0], story.result.start_on[0]
    if np.isnat(worst):
        return f"Clock {story.clock.seq}, {rule}: not recorded is {lacks}."
    since = "" if np.isnat(start) else f", from {day_said(start)}"
    return f"Clock {story.clock.seq}, {rule}: not recorded is {lacks}; no later than {day_said(worst)}{since}."


def _waiting(story: ClockStory) -> str:
    """A clock that does not run now, and when it will."""
    rule = rule_of(story.clock, story.facts)
    never = bool(np.isnat(story.facts.items.done_on[0]))
    turns = ("any", "first" if never else "repeat")
    reason = "it begins when the unit is fitted"
    if story.clock.counts_from == "given_date" and is_met(story.clock, story.facts.items)[0]:
        reason = (
            f"the work was done on {day_said(story.facts.items.done_on[0])}, after the given date"
        )
    if not any(amount.when in turns for amount in story.clock.amounts):
        reason = "it begins with the first work" if never else "it was for the first time only"
    return f"Clock {story.clock.seq}, {rule}, does not run now: {reason}."


def _summary(story: ClockStory) -> str:
    result, rule = story.result, rule_of(story.clock, story.facts)
    words = f"clock {story.clock.seq}, {rule}"
    if result.due_at[0] != UNKNOWN:
        left = int(result.left[0])
        words += f": due at {quantity(story.clock, int(result.due_at[0]), story.facts)}"
        words += f", {quantity(story.clock, abs(left), story.facts)} {'remaining' if left >= 0 else 'over'}"
    if not np.isnat(result.due_on[0]):
        words += f": {day_said(result.due_on[0])}"
    return words


def _behind(story: ClockStory, winner: ClockStory) -> str:
    """A clock that did not decide, and how far behind (or before) the one that did it is."""
    if not story.result.runs[0]:
        return _waiting(story)
    if story.result.missing[0]:
        return _worst(story)
    words = _summary(story)
    words = words[0].upper() + words[1:]
    day, won = story.result.due_on[0], winner.result.due_on[0]
    if np.isnat(day):
        return f"{words}{_dateless(story, winner)}."
    if np.isnat(won):
        left = int((day - day_of(story.as_of)).astype("int64"))
        return f"{words}, {left_words(left)}."
    days = int((day - won).astype("int64"))
    if days == 0:
        return f"{words}, the same day."
    return f"{words}, {days_words(abs(days))} {'later' if days > 0 else 'earlier'}."


def _dateless(story: ClockStory, winner: ClockStory) -> str:
    """Of a clock that comes to no date: in its measure, if that is the winner's too, how far behind."""
    if not np.isnat(winner.result.due_on[0]):
        return f"; it comes to no date, as {_why_no_date(story)}"
    if story.clock.measure == winner.clock.measure:
        behind = int(story.result.left[0]) - int(winner.result.left[0])
        where = "behind" if behind >= 0 else "before"
        amount = quantity(story.clock, abs(behind), story.facts)
        return f": {amount} {where} the clock that decides"
    other = winner.facts.measures[winner.facts.measure_index(winner.clock.measure)].name
    why = _why_no_date(story)
    return f"; it comes to no date, as {why}, and cannot be compared with {other}"


def _why_no_date(story: ClockStory) -> str:
    return why_no_date(story.clock, story.facts)


def why_no_date(clock: Clock, facts: Facts) -> str:
    """Why hours or a count cannot be turned into a day."""
    if not facts.measures[facts.measure_index(clock.measure)].of_aircraft:
        return "nothing says how fast it is used"
    aircraft = int(facts.aircraft_of_items()[0])
    if aircraft < 0:
        return "the unit is on no aircraft"
    if facts.aircraft.parked[aircraft]:
        return "the aircraft is parked"
    return "the aircraft does not fly"


def _span(story: ClockStory) -> ClockSpan:
    result: ClockResult = story.result
    return ClockSpan(
        seq=story.clock.seq,
        words=rule_of(story.clock, story.facts),
        start_on=date_of(result.start_on[0]),
        end_on=date_of(result.worst_on[0] if result.missing[0] else result.due_on[0]),
        detail=_summary(story),
        is_projected=bool(result.is_projected[0]),
    )
