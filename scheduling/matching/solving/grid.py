"""The table that is solved: needs as rows, units as columns, a cost where a pair is possible."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scheduling.matching.facts.columns import Ints

__all__ = ["Grid", "Ints"]


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

    def units_of(self, need: int) -> Ints:
        """The units that may cover a need."""
        return self.unit[self.start[need] : self.start[need + 1]]

    def pairs_of(self, rows: Ints) -> tuple[Ints, Ints]:
        """(how many units may cover each of these needs, those units one need after the other)."""
        sizes, at = self._places(rows)
        return sizes, self.unit[at]

    def of_needs(self, rows: Ints) -> Grid:
        """Only these needs."""
        sizes, at = self._places(rows)
        start = np.concatenate([[0], np.cumsum(sizes)])
        return Grid(self.units, start, self.unit[at], self.cost[at])

    def _places(self, rows: Ints) -> tuple[Ints, Ints]:
        first, sizes = self.start[rows], np.diff(self.start)[rows]
        before = np.cumsum(sizes) - sizes
        return sizes, np.repeat(first - before, sizes) + np.arange(sizes.sum())
