"""The sentence of an aircraft that leaves the fleet before an item of it falls due."""

from __future__ import annotations

import numpy as np

from fleet.words.said import day_words
from scheduling.engine.basis.columns import Facts
from scheduling.engine.basis.months import ONE_DAY
from scheduling.engine.basis.result import Due, State
from scheduling.engine.clocks.leaving import NEVER, away

from .wording import date_of


def leaving_steps(due: Due, facts: Facts) -> list[str]:
    """Why one item (the only one of ``facts``) is not asked by its date; none where it is. ``due`` as it
    is before the leaving is looked at."""
    if due.is_past[0] or due.state[0] == State.QUIET:
        return []
    good_on = due.worst_on[0] if due.state[0] == State.NO_BASIS else due.due_on[0]
    aircraft = int(facts.aircraft_of_items()[0])
    for one, left_on, back_on in away(facts.ahead):
        if one == aircraft and not np.isnat(good_on) and left_on <= good_on + ONE_DAY < back_on:
            since = f"The aircraft leaves the fleet on {day_words(date_of(left_on))}, before that"
            if back_on == NEVER:
                return [f"{since}: nothing falls due on it after it has left."]
            back = day_words(date_of(back_on))
            return [f"{since}, and is back on {back}: it is due by the day before."]
    return []
