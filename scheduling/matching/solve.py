"""The best matching of the needs of one family with the units that may cover them.

**What is best**, in strict order: (1) as many needs met as can be; (2) of the sets of needs that many,
the one that is first when read in the order of the needs: the earliest day first, on one day the
hardest (fewest units that may cover it), then by key; (3) the least total cost; (4) of the sets of
units with which that cost is reached, the first in the order of keys.

**Why four sums decide four orders.** The sets of needs that can be met together are the independent
sets of a transversal matroid. A matroid's bases have one size, so any positive weights meet (1);
and a basis of greatest weight is found greedily by the order of the weights alone, whatever their sizes, so
it is unique when no two weights are equal, and is the one that is lexicographically first: (2) holds
for the plain weights n, n-1, ..., 1. With the needs fixed, the least cost at which a set of units can cover
them is a valuated matroid; the sets that reach the least are again the bases of a matroid, so
(4) is reached by adding to each unit its place in the order of keys, small against one step of cost.
What may then still be equal, who has which of these units, is settled in ``ties``.

Both steps are one assignment each, on integers. In the first every need may also stay unmet at the
price of its weight; it is left out where a largest matching meets all. Solver: scipy's
``min_weight_full_bipartite_matching`` (sparse, shortest augmenting paths). It works in doubles, exact while
sums stay below 2**53; :func:`cheapest` watches that.

Measured on 5,000 needs and 5,000 units in 50 families, 250,000 pairs, two cores: this solver 0.10 s on the
whole; the dense ``linear_sum_assignment`` per family 0.15 s and needs a filled table; HiGHS on the
linear programme 6 s. ``maximum_bipartite_matching`` alone 0.01 s: used to see what is short.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching, min_weight_full_bipartite_matching

from .columns import Ints

EXACT = 1 << 53


@dataclass(frozen=True, slots=True)
class Grid:
    """Needs as rows and units as columns, both in their order, in compressed rows with sorted
    columns: ``cost`` of each pair that is possible."""

    units: int
    start: Ints
    unit: Ints
    cost: Ints

    @property
    def needs(self) -> int:
        return len(self.start) - 1

    def of_needs(self, rows: Ints) -> Grid:
        """Only these needs."""
        sizes = np.diff(self.start)[rows]
        start = np.concatenate([[0], np.cumsum(sizes)])
        at = np.repeat(self.start[rows] - start[:-1], sizes) + np.arange(start[-1])
        return Grid(self.units, start, self.unit[at], self.cost[at])


def best_units(grid: Grid) -> Ints:
    """The unit of each need, -1 where it stays unmet."""
    if grid.needs == 1:
        return grid.unit[[np.argmin(grid.cost)]]
    chosen = np.full(grid.needs, -1, dtype=np.int64)
    met = _first_set_met(grid)
    chosen[met] = cheapest(grid.of_needs(met) if len(met) < grid.needs else grid)
    return chosen


def _first_set_met(grid: Grid) -> Ints:
    """The rows of the needs that are met: all, or the set that is first in their order."""
    ones = np.ones(len(grid.unit))
    shape = (grid.needs, grid.units)
    table = csr_array((ones, grid.unit, grid.start), shape=shape)
    some = maximum_bipartite_matching(table, perm_type="column")
    if (some >= 0).all():
        return np.arange(grid.needs)
    unmet = np.arange(grid.needs, 0, -1)
    return np.flatnonzero(_assigned(grid, np.zeros(len(grid.unit), dtype=np.int64), unmet) >= 0)


def cheapest(grid: Grid) -> Ints:
    """The unit of each need, all being met, at least cost and then with the first units.

    Where sums with the order of units would no longer be exact (thousands of needs in one group at prices in
    the millions), the cost alone decides and equals fall as the solver takes them. Refuses with
    ValueError where not even the costs can be summed exactly.
    """
    cost = grid.cost - grid.cost.min(initial=_HIGHEST)
    cost //= max(int(np.gcd.reduce(cost, initial=0)), 1)
    step = grid.needs * grid.units + 1
    if not _is_exact(grid, int(cost.max(initial=0)) * step + grid.units):
        if not _is_exact(grid, int(cost.max(initial=0))):
            raise ValueError("The prices are too fine: divide all of them by the same number.")
        return _assigned(grid, cost, None)
    return _assigned(grid, cost * step + grid.unit, None)


_HIGHEST = np.iinfo(np.int64).max


def _is_exact(grid: Grid, highest: int) -> bool:
    """Whether no sum along a path of the solver, there and back, leaves the whole numbers."""
    return 2 * grid.needs * (highest + 1) < EXACT


def _assigned(grid: Grid, weight: Ints, unmet: Ints | None) -> Ints:
    """The unit of each need at least total weight; with ``unmet`` a need may stay without (-1) at
    that weight. One is added to every weight, since nought would not be stored as a pair."""
    width, rows = grid.units, np.arange(grid.needs)
    start, unit = grid.start, grid.unit
    if unmet is not None:
        unit = np.insert(unit, start[1:], width + rows)
        weight = np.insert(weight, start[1:], unmet)
        start, width = start + np.arange(len(start)), width + grid.needs
    table = csr_array((weight + 1.0, unit, start), shape=(grid.needs, width))
    _, chosen = min_weight_full_bipartite_matching(table)
    return np.where(chosen < grid.units, chosen, -1)
