"""What a rule that is in force from a later day makes of an item today.

An item is due by the earliest day on which it would be past its limit under the rule in force **on
that day**. A rule to come asks nothing before its first day, so what would be past then is good
through the day before, and no longer.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date

import numpy as np

from scheduling.engine.basis.columns import Bools, Dates, Ints
from scheduling.engine.basis.months import NO_DATE, ONE_DAY, day_of, days_between
from scheduling.engine.basis.result import Due, State

_ALWAYS, _NEVER = np.datetime64("0001-01-01"), np.datetime64("9999-12-31")


def asked_from(due: Due, from_on: Dates, as_of: date) -> Due:
    """What rules ask that are in force from these later days on: none of them has passed yet."""
    eve, number = from_on - ONE_DAY, len(from_on)
    no = np.zeros(number, dtype=bool)
    due_on = np.where(np.isnat(due.due_on), NO_DATE, np.fmax(due.due_on, eve))
    due_on = np.where(due.is_past, eve, due_on)
    return replace(
        due,
        due_on=due_on,
        due_on_projected=due.due_on_projected & ~due.is_past & (due.due_on >= eve),
        left_days=days_between(np.full(number, day_of(as_of)), due_on),
        worst_on=np.where(np.isnat(due.worst_on), NO_DATE, np.fmax(due.worst_on, eve)),
        variation_until_on=np.fmax(due.variation_until_on, due_on),
        is_past=no,
        within_variation=no,
        may_fly=~no,
        may_be_past=no,
        may_refill=~no,
        may_install=~no,
    )


def governing(due: Due, group: Ints, from_on: Dates) -> Bools:
    """Of the rules of each group, one after the other in force on one subject, the one that decides.

    ``from_on``: the day from which each is in force, NaT for one that is already; the columns of
    later ones as :func:`asked_from` tells them. It is the first under which the item would be past
    while that rule is in force, or for lack of a fact might be; else the last that asks anything.
    """
    begun = np.where(np.isnat(from_on), _ALWAYS, from_on)
    order = np.lexsort((begun, group))
    group, begun = group[order], begun[order]
    state, number = due.state[order], len(group)
    is_last = np.append(group[1:] != group[:-1], True)[:number]
    until = np.where(is_last, _NEVER, np.append(begun[1:], _NEVER)[:number])
    good_on = np.where(state == State.NO_BASIS, due.worst_on[order], due.due_on[order])
    ends = due.is_past[order] | (good_on + ONE_DAY < until)
    ends |= (state == State.NO_BASIS) & np.isnat(good_on)
    ends &= state != State.QUIET
    place = np.arange(number)
    # The first that ends it; without one the last that asks; without any the last.
    sort = np.where(ends, 0, np.where(state != State.QUIET, 1, 2))
    best = np.lexsort((np.where(ends, place, -place), sort, group))
    is_first = np.append(True, group[best][1:] != group[best][:-1])[:number]
    chosen = np.zeros(number, dtype=bool)
    chosen[order[best[is_first]]] = True
    return chosen


def together(now: Due, later: Due) -> Due:
    """The rows of both, those of today's rules first."""
    columns = {
        one.name: np.concatenate([getattr(now, one.name), getattr(later, one.name)])
        for one in fields(Due)
    }
    return Due(**columns)
