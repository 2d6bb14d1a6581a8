"""When each last work was due, where its record does not say: reckoned from the works before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from scheduling.engine.basis.columns import UNKNOWN, Facts
from scheduling.engine.basis.limits import Limit
from scheduling.engine.clocks.originals import originals
from scheduling.facts.copying import Ints

from .last import History


def with_originals(
    limits: Sequence[Limit], facts: Facts, histories: Sequence[History], as_of: date
) -> Facts:
    """The same facts, each last work with when it was due: interval by interval from the first, as a
    work that was done in time does not move the next. What its record says stands."""
    for history in histories:
        known = _filled(limits, facts, history, as_of)
        is_last = np.append(history.item[1:] != history.item[:-1], True)
        rows = np.flatnonzero(is_last)
        items = facts.items
        same = items.done_on[history.item[rows]] == known.items.done_on[rows]
        rows = rows[same]  # a disposition may have come after
        on, totals = items.original_due_on.copy(), items.original_due_total.copy()
        on[history.item[rows]] = known.items.original_due_on[rows]
        totals[history.item[rows]] = known.items.original_due_total[rows]
        facts = replace(facts, items=replace(items, original_due_on=on, original_due_total=totals))
    return facts


def _filled(limits: Sequence[Limit], facts: Facts, history: History, as_of: date) -> Facts:
    """The works of a history, each with when it was due."""
    works = history.works
    on, totals = works.original_due_on.copy(), works.original_due_total.copy()
    place = _places(history.item)
    # Before the first there was none: then its interval is the first time's.
    first = np.flatnonzero(place == 0)
    never = works.take(first)
    nothing = np.full(len(first), np.datetime64("NaT", "D"))
    never = replace(never, done_on=nothing, done_total=np.full_like(never.done_total, UNKNOWN))
    steps = [(never, first)]
    for step in range(int(place.max()) if len(place) else 0):
        after = np.flatnonzero(place == step + 1)
        steps.append((works.take(after - 1), after))
    for works_before, rows in steps:
        before = works_before
        if before is not never:
            before = replace(
                before, original_due_on=on[rows - 1], original_due_total=totals[rows - 1]
            )
        due_on, due_total = originals(limits, replace(facts, items=before), as_of)
        on[rows] = np.where(np.isnat(on[rows]), due_on, on[rows])
        totals[rows] = np.where(totals[rows] == UNKNOWN, due_total, totals[rows])
    return replace(facts, items=replace(works, original_due_on=on, original_due_total=totals))


def _places(item: Ints) -> Ints:
    """The place of each work among those of its item."""
    begins = np.flatnonzero(np.append(True, item[1:] != item[:-1])[: len(item)])
    lengths = np.diff(np.append(begins, len(item)))
    places: Ints = np.arange(len(item)) - np.repeat(begins, lengths)
    return places
