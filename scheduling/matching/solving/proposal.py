"""A proposal: for the whole fleet and horizon at once, which unit covers which need.

The shop's returns are supplies of their own. What an earlier removal releases is there from that removal
plus the shop's turn time *whichever* unit covered the removal, and also if none did: the removal is planned
because the old unit runs out. So a chain (a removed unit covers a later need) is settled by dates
alone, and no supply depends on a choice made here. What a later removal of a unit chosen here would release
is not counted: its facts are known only once the choice is made.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scheduling.matching.facts.columns import Columns, Ints
from scheduling.matching.facts.costs import cost_columns

from .groups import Groups, groups_of
from .pairs import possible_pairs
from .solve import best_units
from .ties import settle_ties


@dataclass(frozen=True, slots=True)
class Proposal:
    """Per need the row of its supply (-1: short) and the cost; ``need_group`` and ``supply_group`` number
    what hangs together by possible pairs, so that a change is worked out where it matters."""

    columns: Columns
    supply_of: Ints
    cost: Ints
    need_group: Ints
    supply_group: Ints

    @property
    def pairs(self) -> dict[str, str]:
        """Need to supply, by key, for the needs that are met."""
        met = np.flatnonzero(self.supply_of >= 0)
        needs = self.columns.needs.key[met].tolist()
        supplies = self.columns.supplies.key[self.supply_of[met]].tolist()
        return dict(zip(needs, supplies, strict=True))

    @property
    def short(self) -> list[str]:
        """The keys of needs that no unit covers, in order."""
        return sorted(self.columns.needs.key[self.supply_of < 0].tolist())

    @property
    def total_cost(self) -> int:
        return int(self.cost.sum())


def propose(columns: Columns) -> Proposal:
    """The best allocation of all supplies to all needs; see ``solve`` for what is best."""
    pairs = possible_pairs(columns)
    groups = groups_of(columns, pairs)
    supply_of = _solved(groups)
    cost = np.zeros(len(columns.needs), dtype=np.int64)
    met = np.flatnonzero(supply_of >= 0)
    cost[met] = cost_columns(columns, met, supply_of[met])
    return Proposal(columns, supply_of, cost, groups.need_group, groups.supply_group)


def _solved(groups: Groups) -> Ints:
    """Each need's supply row, group by group; ties are settled in all groups at once."""
    chosen = np.full(groups.grid.needs, -1, dtype=np.int64)
    for needs, before, grid in groups.grids():
        best = best_units(grid)
        chosen[needs] = np.where(best >= 0, best + before, -1)
    chosen = settle_ties(groups.grid, chosen)
    supply_of = np.full(len(chosen), -1, dtype=np.int64)
    met = chosen >= 0
    supply_of[groups.rows[met]] = groups.units[chosen[met]]
    return supply_of
