"""The fewest spares with which a horizon has no shortage, with the proof that fewer do not suffice.

Each need takes a spare on the day it falls (``out``) and gives one back after the shop's turn time (``back``);
a spare that is back can go out again on that day. *Back before out* is an interval order, so
by Dilworth's theorem the fewest chains that cover all needs (a chain is what one spare serves, one
after another) are as many as the most needs that are out at one time. :func:`float_size` gives both:
the chains, which show that so many suffice, and the needs out together, which show that fewer do not.

Where a released unit fits only some later needs, see ``chains``.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import numpy.typing as npt

Days = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class Month:
    """The most needs out at one time in a month, and the first of its days on which so many are."""

    month: date
    spares: int
    on: date


@dataclass(frozen=True, slots=True)
class FloatSize:
    """``spares`` is the answer; ``together`` the needs (by place in what was given) that are out at one time on
    ``on``, as many as the answer; ``spare_of`` a spare for each need, numbered from 0, so many used;
    ``months`` the most out at one time in each month, from the first need's to the last return's, and the
    first day of the month on which so many are out (:func:`out_on` names them)."""

    spares: int
    on: date | None
    together: tuple[int, ...]
    spare_of: tuple[int, ...]
    months: tuple[Month, ...]


def float_size(outs: Sequence[date], backs: Sequence[date]) -> FloatSize:
    """The fewest spares for needs that are out from a day until the day they are back. Refuses with
    ValueError a need that is back before the day after it went out."""
    out, back = _days(outs), _days(backs)
    if (back <= out).any():
        at = int(np.flatnonzero(back <= out)[0])
        raise ValueError(f"A unit is out for one day at least: {outs[at]} to {backs[at]} is less.")
    if not len(out):
        return FloatSize(0, None, (), (), ())
    days, many = _levels(out, back)
    peak = int(np.argmax(many))
    on = days[peak]
    together = np.flatnonzero((out <= on) & (on < back))
    return FloatSize(
        int(many[peak]),
        date.fromordinal(int(on)),
        tuple(together.tolist()),
        _spare_of(out, back),
        _months(days, many),
    )


def _days(days: Sequence[date]) -> Days:
    return np.array([day.toordinal() for day in days], dtype=np.int64)


def _levels(out: Days, back: Days) -> tuple[Days, Days]:
    """The days on which something goes out or comes back, and how many are out from each on. What is
    back on a day and what goes out on it are counted together, so the same spare serves both."""
    days, at = np.unique(np.concatenate([out, back]), return_inverse=True)
    change = np.bincount(at[: len(out)], minlength=len(days))
    change -= np.bincount(at[len(out) :], minlength=len(days))
    return days, np.cumsum(change)


def _spare_of(out: Days, back: Days) -> tuple[int, ...]:
    """A spare for each need in the order they go out: the one longest back, or a new one."""
    spare = [0] * len(out)
    waiting: list[tuple[int, int]] = []
    used = 0
    for need in np.lexsort((back, out)).tolist():
        if waiting and waiting[0][0] <= out[need]:
            spare[need] = heapq.heappop(waiting)[1]
        else:
            spare[need], used = used, used + 1
        heapq.heappush(waiting, (int(back[need]), spare[need]))
    return tuple(spare)


def _months(days: Days, many: Days) -> tuple[Month, ...]:
    """Each month's most: what is out as it begins, or what is reached in it."""
    last = date.fromordinal(int(days[-1]))
    months, month = [], date.fromordinal(int(days[0])).replace(day=1)
    while month <= last:
        following = date(month.year + month.month // 12, month.month % 12 + 1, 1)
        begin, end = np.searchsorted(days, [month.toordinal(), following.toordinal()])
        # What changes on the first day itself is the month's own; else it begins as the last one ended.
        is_own = begin < len(days) and days[begin] == month.toordinal()
        carried = int(many[begin - 1]) if begin and not is_own else 0
        reached = int(many[begin:end].max(initial=0))
        on = month
        if reached > carried:
            on = date.fromordinal(int(days[begin + int(np.argmax(many[begin:end]))]))
        months.append(Month(month, max(carried, reached), on))
        month = following
    return tuple(months)
