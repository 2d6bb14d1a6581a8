"""Which needs are met: the set that adding them one after another in their order finds.

A need that once is met stays met (a path of exchanges takes a unit from nobody without giving another), and one that
cannot be added when its turn comes can never be: this is the greedy basis of the transversal
matroid. What a failed search has seen leads to no free unit then or later, so it is never searched again; all
failures together cost no more than reading each pair once.

On five families of 1,000 needs, 1.8 million pairs, a fifth of the needs short: 0.06 s. scipy's
``maximum_bipartite_matching`` alone takes 5 s there, and says only how many.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from .grid import Grid, Ints


def first_set_met(grid: Grid) -> Ints:
    """The rows of the needs that are met: the first set of the largest number."""
    return np.flatnonzero(grown_matching(grid) >= 0)


def grown_matching(grid: Grid) -> Ints:
    """A largest matching: the unit of each need, -1 for none; the needs met are the first set."""
    growing = _Growing(grid)
    for need in range(grid.needs):
        growing.add(need)
    return growing.unit_of


class _Growing:
    """A matching that grows by one need at a time."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.owner = np.full(grid.units, -1, dtype=np.int64)
        self.unit_of = np.full(grid.needs, -1, dtype=np.int64)
        # Taking the unit that fewest could have leaves more for those to come: fewer exchanges.
        self.asked_for = np.bincount(grid.unit, minlength=grid.units)
        self.is_dead = np.zeros(grid.units, dtype=bool)

    def add(self, need: int) -> None:
        """Meets the need beside all that are met already, if that can be."""
        units = self.grid.units_of(need)
        free = units[self.owner[units] < 0]
        if len(free):
            unit = free[np.argmin(self.asked_for[free])]
            self.owner[unit], self.unit_of[need] = need, unit
        elif not self.is_dead[units].all():
            self._exchange(need)

    def _exchange(self, need: int) -> None:
        seen = self.is_dead.copy()
        asked_by = np.full(self.grid.units, -1, dtype=np.int64)
        asking = np.array([need])
        while len(asking):
            fresh = self._ask(asking, seen, asked_by)
            free = fresh[self.owner[fresh] < 0]
            if len(free):
                self._pass_on(need, int(free[0]), asked_by)
                return
            asking = self.owner[fresh]
        self.is_dead = seen

    def _ask(self, asking: Ints, seen: npt.NDArray[np.bool_], asked_by: Ints) -> Ints:
        """The units not seen before that these needs could have; each notes who asked for it."""
        sizes, units = self.grid.pairs_of(asking)
        is_new = ~seen[units]
        units = units[is_new]
        asked_by[units] = np.repeat(asking, sizes)[is_new]
        fresh = np.flatnonzero((asked_by >= 0) & ~seen)
        seen[fresh] = True
        return fresh

    def _pass_on(self, need: int, unit: int, asked_by: Ints) -> None:
        """Each who asked takes what it asked for, back to the need that began."""
        while True:
            taker = int(asked_by[unit])
            given_up = int(self.unit_of[taker])
            self.owner[unit], self.unit_of[taker] = taker, unit
            if taker == need:
                return
            unit = given_up
