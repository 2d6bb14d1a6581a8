"""Needs and supplies that hang together by possible pairs: each such group is solved by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from scheduling.matching.facts.columns import Columns, Ints

from .grid import Grid
from .pairs import Pairs
from .scipy_parts import graphs, sparse


@dataclass(frozen=True, slots=True)
class Groups:
    """``rows`` and ``units`` are the rows of needs and supplies group by group, inside a group in their
    order; ``row_ends`` and ``unit_ends`` say where each group ends in them. ``grid`` is all
    groups in one: a group is a slice of it."""

    need_group: Ints
    supply_group: Ints
    rows: Ints
    units: Ints
    row_ends: Ints
    unit_ends: Ints
    grid: Grid

    def grids(self) -> Iterator[tuple[slice, int, Grid]]:
        """(places of the needs, place before the first unit, their grid) of each group with a pair."""
        row_ends, unit_ends = self.row_ends.tolist(), self.unit_ends.tolist()
        start, unit, cost = self.grid.start, self.grid.unit, self.grid.cost
        first = before = 0
        for last, beyond in zip(row_ends, unit_ends, strict=True):
            if last > first and beyond > before:
                edges = slice(start[first], start[last])
                grid = Grid(
                    beyond - before,
                    start[first : last + 1] - start[first],
                    unit[edges] - before,
                    cost[edges],
                )
                yield slice(first, last), before, grid
            first, before = last, beyond


def groups_of(columns: Columns, pairs: Pairs) -> Groups:
    """The groups of these pairs. A need or supply without any pair is a group of its own."""
    needs, supplies = len(columns.needs), len(columns.supplies)
    need_group, supply_group = _labels(needs, supplies, pairs)
    rows = _need_order(columns, pairs)
    rows = rows[np.argsort(need_group[rows], kind="stable")]
    units = np.argsort(columns.supplies.key, kind="stable")
    units = units[np.argsort(supply_group[units], kind="stable")]
    many = 1 + max(need_group.max(initial=-1), supply_group.max(initial=-1))
    return Groups(
        need_group,
        supply_group,
        rows,
        units,
        np.cumsum(np.bincount(need_group, minlength=many)),
        np.cumsum(np.bincount(supply_group, minlength=many)),
        _grid(pairs, rows, units),
    )


def _labels(needs: int, supplies: int, pairs: Pairs) -> tuple[Ints, Ints]:
    size = needs + supplies
    ones = np.ones(len(pairs.need), dtype=np.int8)
    graph = sparse().coo_array((ones, (pairs.need, needs + pairs.supply)), shape=(size, size))
    _, label = graphs().connected_components(graph, directed=False)
    return label[:needs], label[needs:]


def _need_order(columns: Columns, pairs: Pairs) -> Ints:
    """The earliest first, on one day those with the fewest possible units, then by key."""
    choice = np.bincount(pairs.need, minlength=len(columns.needs))
    return np.lexsort((columns.needs.key, choice, columns.needs.on))


def _grid(pairs: Pairs, rows: Ints, units: Ints) -> Grid:
    """The pairs in compressed rows, rows and units renumbered by their places."""
    need, supply = _places(rows)[pairs.need], _places(units)[pairs.supply]
    order = np.argsort(need * max(len(units), 1) + supply)
    start = np.concatenate([[0], np.cumsum(np.bincount(need, minlength=len(rows)))])
    return Grid(len(units), start, supply[order], pairs.cost[order])


def _places(order: Ints) -> Ints:
    places = np.empty(len(order), dtype=np.int64)
    places[order] = np.arange(len(order))
    return places
