"""What an aircraft's leaving the fleet makes of an item: nothing falls due on it after it has left.

An item would be past its limit from the day after its due date on. Where the aircraft has left by then,
as is known today, nothing is asked of it; where it comes back later, the item is due before that day.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import numpy as np

from scheduling.engine.basis.columns import Ahead, Facts
from scheduling.engine.basis.months import NO_DATE, ONE_DAY, day_of, days_between
from scheduling.engine.basis.result import Due, State

NEVER = np.datetime64("9999-12-31")


def away(ahead: Ahead | None) -> Iterator[tuple[int, np.datetime64, np.datetime64]]:
    """(aircraft, the first day that it is not in the fleet, the day from which it is again, or NEVER)."""
    if ahead is None or not ahead.has_left.any():
        return
    since: dict[int, np.datetime64] = {}
    for row in range(len(ahead)):
        aircraft, on = int(ahead.aircraft[row]), ahead.from_on[row]
        if ahead.has_left[row]:
            since.setdefault(aircraft, on)
        elif aircraft in since:
            yield aircraft, since.pop(aircraft), on
    yield from ((aircraft, on, NEVER) for aircraft, on in since.items())


def while_in_fleet(due: Due, facts: Facts, as_of: date) -> Due:
    """The same, QUIET what would be past its limit only after its aircraft has left; its date still says
    when that would be."""
    spans = list(away(facts.ahead))
    if not spans:
        return due
    aircraft = facts.aircraft_of_items()
    state, due_on, worst_on = due.state.copy(), due.due_on.copy(), due.worst_on.copy()
    for one, left_on, back_on in spans:
        good_on = np.where(state == State.NO_BASIS, worst_on, due_on)
        hit = (aircraft == one) & ~due.is_past & (state != State.QUIET)
        hit &= (good_on + ONE_DAY >= left_on) & (good_on + ONE_DAY < back_on)
        if back_on == NEVER:
            state[hit] = State.QUIET
            continue
        eve = back_on - ONE_DAY
        due_on[hit] = np.where(np.isnat(due_on[hit]), NO_DATE, eve)
        worst_on[hit] = np.where(np.isnat(worst_on[hit]), NO_DATE, eve)
    moved = due_on != due.due_on
    return replace(
        due,
        state=state,
        due_on=due_on,
        worst_on=worst_on,
        left_days=days_between(np.full(len(state), day_of(as_of)), due_on),
        variation_until_on=np.where(
            moved, np.fmax(due.variation_until_on, due_on), due.variation_until_on
        ),
    )
