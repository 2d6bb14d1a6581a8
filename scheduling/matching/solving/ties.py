"""Ties: where proposals are equal in all that counts, the earlier need takes the unit whose key comes first.

With the needs and the units settled, the proposals of least cost are those that use only *tight* pairs: those
that cost nothing more once every unit has its price (complementary slackness). The prices are shortest
distances, where a need may pass on to another chosen unit for the difference in cost; no
circle is negative, since the proposal costs the least. Need after need then takes the first unit that it can
have while all needs before keep theirs and all after still find one along tight pairs.
"""

from __future__ import annotations

from collections import defaultdict, deque

import numpy as np

from scheduling.matching.facts.columns import Ints

from .grid import Grid


def settle_ties(grid: Grid, chosen: Ints) -> Ints:
    """The same needs and units at the same cost, so paired that no need could have an earlier unit
    without one before it having a later one."""
    owner = np.full(grid.units, -1, dtype=np.int64)
    met = np.flatnonzero(chosen >= 0)
    owner[chosen[met]] = met
    need, unit = _tight_pairs(grid, chosen, owner)
    better = (unit < chosen[need]) & (owner[unit] > need)
    if not better.any():
        return chosen
    first = int(need[better].min())
    dealt = _Dealt(need, unit, chosen, owner, first)
    for one in range(first, grid.needs):
        dealt.settle(one)
    return np.array(dealt.chosen, dtype=np.int64)


def _tight_pairs(grid: Grid, chosen: Ints, owner: Ints) -> tuple[Ints, Ints]:
    """(needs, units) of the tight pairs that are not chosen."""
    need = np.repeat(np.arange(grid.needs), np.diff(grid.start))
    is_chosen = grid.unit == chosen[need]
    own_cost = np.zeros(grid.needs, dtype=np.int64)
    own_cost[need[is_chosen]] = grid.cost[is_chosen]
    open_pair = np.flatnonzero(~is_chosen & (chosen[need] >= 0) & (owner[grid.unit] >= 0))
    need, unit = need[open_pair], grid.unit[open_pair]
    more = grid.cost[open_pair] - own_cost[need]
    price = _prices(grid.units, chosen[need], unit, more)
    tight = price[unit] == price[chosen[need]] + more
    return need[tight], unit[tight]


def _prices(units: int, origin: Ints, unit: Ints, more: Ints) -> Ints:
    """Shortest distances to each unit from wherever is nearest, by passing on (Bellman and Ford)."""
    price = np.zeros(units, dtype=np.int64)
    active = np.arange(len(unit))
    while len(active):
        before = price.copy()
        np.minimum.at(price, unit[active], before[origin[active]] + more[active])
        fell = price < before
        active = np.flatnonzero(fell[origin])
    return price


class _Dealt:
    """Who has what, while it is dealt out anew along tight pairs, need after need from ``first`` on.

    ``open`` are the needs that are not settled yet.
    """

    def __init__(self, need: Ints, unit: Ints, chosen: Ints, owner: Ints, first: int) -> None:
        self.chosen: list[int] = chosen.tolist()
        self.owner: list[int] = owner.tolist()
        self.units: defaultdict[int, set[int]] = defaultdict(set)
        self.needs: defaultdict[int, set[int]] = defaultdict(set)
        tight = zip(need.tolist(), unit.tolist(), strict=True)
        for one, other in (*tight, *enumerate(self.chosen)):
            self.units[one].add(other)
            self.needs[other].add(one)
        self.open = {one for one, own in enumerate(self.chosen) if own >= 0 and one >= first}

    def settle(self, need: int) -> None:
        """Gives a need the first unit it can have; needs before it are settled."""
        self._settle(need)
        self.open.discard(need)

    def _settle(self, need: int) -> None:
        own = self.chosen[need]
        wanted = sorted(unit for unit in self.units[need] if unit < own and self.owner[unit] > need)
        found: dict[int, int] | None = None
        for unit in wanted:
            if own in self.units[self.owner[unit]]:
                self._pass_on(need, unit, {self.owner[unit]: own})
                return
            found = self._ways_to(own, need, self.owner[wanted[0]]) if found is None else found
            if self.owner[unit] in found:
                self._pass_on(need, unit, found)
                return

    def _ways_to(self, unit: int, need: int, first: int) -> dict[int, int]:
        """Needs after this one that could, by passing on, free their unit for the one given: each with the unit
        that it would take then. Looked for until ``first`` is among them, since none is liked better."""
        takes: dict[int, int] = {}
        todo, unseen = deque([unit]), self.open - {need}
        while todo and unseen:
            wanted = todo.popleft()
            # Its owner is seen before it is wanted, but for the first, which belongs to the need itself.
            found = self.needs[wanted] & unseen
            unseen -= found
            takes.update(dict.fromkeys(found, wanted))
            if first in found:
                break
            todo.extend(self.chosen[other] for other in found)
        return takes

    def _pass_on(self, need: int, unit: int, takes: dict[int, int]) -> None:
        """The need takes the unit, its owner the next, and so on, until the unit first given up is taken."""
        free = self.chosen[need]
        while unit != free:
            self.chosen[need], need, self.owner[unit] = unit, self.owner[unit], need
            unit = takes[need]
        self.chosen[need], self.owner[unit] = unit, need
