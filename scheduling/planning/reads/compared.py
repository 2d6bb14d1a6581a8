"""Two plans beside each other: which jobs go to another check, which fit none any more, which fit again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from fleet.words.said import weekday_words
from scheduling.due.lists.rows import DueRow
from scheduling.facts.copying import Ints
from scheduling.placing.columns import NEEDS, NONE, State

from ..facts.fleet import FleetPlan
from ..facts.ground import GroundTime
from .shown import stands_of
from .words import STATES, needed_words

#: So many are shown; the rest is counted.
MOST_SHOWN = 40
#: Of an item that is placed at no time: it is to be done now, has no basis, or is there no more.
NOT_PLANNED = -1


@dataclass(frozen=True, slots=True)
class PlanMove:
    """A job that is done elsewhere, in words: where it was, where it is, and what it needs there."""

    row: DueRow
    was: str
    now: str
    needed: str


@dataclass(frozen=True, slots=True)
class PlanMoves:
    """What is otherwise in the plan. ``lost``: jobs that fit no check now; ``found``: that fit one again;
    ``moved``: at another check."""

    lost: int
    found: int
    moved: int
    first: tuple[PlanMove, ...]

    @property
    def is_nothing(self) -> bool:
        return not (self.lost or self.found or self.moved)

    @property
    def unshown(self) -> int:
        return self.lost + self.found + self.moved - len(self.first)


@dataclass(frozen=True, slots=True)
class _OfItems:
    """Of each item of a plan: the row of the plan that its job is, how it stands, its check's id."""

    row: Ints
    state: Ints
    check: Ints


def compared(
    before: FleetPlan,
    after: FleetPlan,
    keys: tuple[Ints, Ints],
    rows_shown: Callable[[Sequence[int]], Sequence[DueRow]],
) -> PlanMoves:
    """What of the jobs is otherwise. ``keys`` know an item before and after; ``rows_shown`` gives the due
    list's rows of items of ``after``, by their rows there."""
    old, new = _of_items(before), _of_items(after)
    _, at_old, at_new = np.intersect1d(*keys, assume_unique=True, return_indices=True)
    is_first = np.zeros(len(keys[1]), bool)
    is_first[after.items.first] = True
    differs = is_first[at_new] & (old.check[at_old] != new.check[at_new])
    needy = [int(state) for state in NEEDS]
    was_needy, is_needy = np.isin(old.state[at_old], needy), np.isin(new.state[at_new], needy)
    differs |= is_first[at_new] & (was_needy != is_needy)
    differs &= (old.state[at_old] != NOT_PLANNED) & (new.state[at_new] != NOT_PLANNED)
    lost, found = differs & ~was_needy & is_needy, differs & was_needy & ~is_needy
    moved = differs & ~lost & ~found
    rank = np.select([lost, moved], [0, 1], 2)
    chosen = np.flatnonzero(differs)
    due = after.items.table["due_on"][at_new[chosen]]
    chosen = chosen[np.lexsort((at_new[chosen], due, rank[chosen]))][:MOST_SHOWN]
    shown = rows_shown(at_new[chosen].tolist())
    first = tuple(
        _move(row, before, after, (int(old.row[at_old[at]]), int(new.row[at_new[at]])))
        for row, at in zip(shown, chosen.tolist(), strict=True)
    )
    return PlanMoves(int(lost.sum()), int(found.sum()), int(moved.sum()), first)


def _of_items(plan: FleetPlan) -> _OfItems:
    of_job = np.full(len(plan.items.first) + 1, NONE)  # the last: of what belongs to no job
    of_job[plan.jobs] = np.arange(len(plan.jobs))
    row = of_job[plan.items.job]
    placed = plan.placed
    ids = np.array([*(time.id for time in plan.times), NONE], np.int64)
    state = np.append(placed.state.astype(np.int64), NOT_PLANNED)
    check = np.append(placed.check, NONE)
    return _OfItems(row, state[row], ids[check[row]])


def _move(row: DueRow, before: FleetPlan, after: FleetPlan, at: tuple[int, int]) -> PlanMove:
    was, now = stands_of(before, at[0]), stands_of(after, at[1])
    return PlanMove(
        row, _where(was.check, was.state), _where(now.check, now.state), needed_words(now)
    )


def _where(check: GroundTime | None, state: State) -> str:
    return f"{check.name}, {weekday_words(check.starts_on)}" if check else STATES[state][1]
