"""Nested due items rolled up to what comes off on the line: a slide is due when its light is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scheduling.engine.basis.columns import Bools, Dates, Indices
from scheduling.engine.basis.result import Due, State


@dataclass(frozen=True, slots=True)
class RolledUp:
    """One row per unit that comes off on the line. ``item`` is the one that drives it out first;
    ``due_on`` its date (its worst date where it has no basis), NaT where it has none."""

    line_unit: Indices
    item: Indices
    due_on: Dates
    is_past: Bools


def roll_up(line_unit: Indices, due: Due) -> RolledUp:
    """The first item of each line-removable unit, itself and all inside it.

    ``line_unit`` tells for each item the unit that comes off with it, -1 to leave it out. Past ones
    come first, then by date; an item without a date comes last, then the order of the items.
    """
    lacks = due.state == State.NO_BASIS
    day = np.where(lacks, due.worst_on, due.due_on)
    far = np.iinfo("int64").max
    when = np.where(np.isnat(day), far, day.astype("int64"))
    order = np.lexsort((np.arange(len(when)), when, ~due.is_past, line_unit))
    order = order[line_unit[order] >= 0]
    groups, first = np.unique(line_unit[order], return_index=True)
    leading = order[first]
    return RolledUp(groups, leading, day[leading], due.is_past[leading])
