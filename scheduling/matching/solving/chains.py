"""The fewest spares where what a need releases serves only some later needs: parts and alternates.

The pairs (i, j), *what i releases serves j*, are a graph without circles. Needs minus a largest matching of
givers to takers is the fewest chains (Fulkerson); that the matching is largest is shown by a cover of the
pairs with as many needs as it has links (König). The matching is grown as in ``first_set``: scipy's Hopcroft-Karp
takes 0.4 s for 3,000 needs in the order of their days and minutes for the same in another order.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from scheduling.matching.facts.facts import Need
from scheduling.matching.facts.fits import fit_reasons_of_part

from .first_set import grown_matching
from .grid import Grid, Ints
from .scipy_parts import graphs, sparse

_AT_ONCE = 1 << 22


@dataclass(frozen=True, slots=True)
class Chains:
    """``next_of`` is what follows each need in its chain (-1: nothing); ``cover`` are needs (as those that
    give, as those that take) of which every pair has one, as many as there are links: with that no
    choice of links can have more, so no cover by chains has fewer."""

    chains: int
    next_of: tuple[int, ...]
    cover: tuple[tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Released:
    """What a need's removal gives back: the unit that comes off, and the day it is back from the shop."""

    part: str
    back: date
    standard: str = ""
    hand: str = ""
    quantity: int = 1


def fewest_chains(needs: int, serves: Iterable[tuple[int, int]] | Ints) -> Chains:
    """The fewest chains that cover all needs, each in one, along pairs (i, j): what i releases serves j.

    A released unit that goes by a need without serving it is a pair of its own: close the pairs first
    (:func:`closed`) where the relation is meant to be passed on. Refuses a circle with ValueError.
    """
    if not needs:
        return Chains(0, (), ((), ()))
    grid = _grid(needs, serves)
    _refuse_circles(grid)
    next_of = grown_matching(grid)
    links = int((next_of >= 0).sum())
    return Chains(needs - links, tuple(next_of.tolist()), _cover(grid, next_of))


def _grid(needs: int, serves: Iterable[tuple[int, int]] | Ints) -> Grid:
    pairs = serves if isinstance(serves, np.ndarray) else np.array(list(serves), dtype=np.int64)
    pairs = pairs.reshape(-1, 2)
    codes = np.unique(pairs[:, 0] * needs + pairs[:, 1])
    start = np.concatenate([[0], np.cumsum(np.bincount(codes // needs, minlength=needs))])
    return Grid(needs, start, codes % needs, np.zeros(len(codes), dtype=np.int64))


def _table(grid: Grid) -> Any:
    ones = np.ones(len(grid.unit), dtype=np.int8)
    return sparse().csr_array((ones, grid.unit, grid.start), shape=(grid.needs, grid.needs))


def _refuse_circles(grid: Grid) -> None:
    """Without a circle every need is alone among those that lead there and back."""
    giver = np.repeat(np.arange(grid.needs), np.diff(grid.start))
    strong, _ = graphs().connected_components(_table(grid), connection="strong")
    if strong < grid.needs or (giver == grid.unit).any():
        raise ValueError("A need cannot serve itself by way of others: the pairs go in a circle.")


def _cover(grid: Grid, next_of: Ints) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """König: from those that give to nobody, by any pair there and by a link back; the cover is the givers
    that are not reached and the takers that are."""
    giver_of = np.full(grid.needs, -1, dtype=np.int64)
    linked = np.flatnonzero(next_of >= 0)
    giver_of[next_of[linked]] = linked
    givers, takers = next_of < 0, np.zeros(grid.needs, dtype=bool)
    some = np.flatnonzero(givers)
    while len(some):
        fresh = np.unique(grid.pairs_of(some)[1])
        fresh = fresh[~takers[fresh]]
        takers[fresh] = True
        some = giver_of[fresh]
        some = some[~givers[some]]
        givers[some] = True
    return tuple(np.flatnonzero(~givers).tolist()), tuple(np.flatnonzero(takers).tolist())


def closed(needs: int, serves: Iterable[tuple[int, int]]) -> set[tuple[int, int]]:
    """The pairs, and all that follow from passing them on. Refuses a circle with ValueError."""
    grid = _grid(needs, serves)
    _refuse_circles(grid)
    beyond: dict[int, int] = {}
    for need in range(needs):
        _reach(grid, need, beyond)
    return {
        (need, taker)
        for need in range(needs)
        for taker in range(needs)
        if beyond[need] >> taker & 1
    }


def _reach(grid: Grid, need: int, beyond: dict[int, int]) -> None:
    """All that a need leads to, as one whole number with a bit for each."""
    todo = [need]
    while todo:
        one = todo[-1]
        takers = grid.units_of(one).tolist()
        waits = [taker for taker in takers if taker not in beyond]
        if waits:
            todo += waits
            continue
        todo.pop()
        beyond[one] = 0
        for taker in takers:
            beyond[one] |= beyond[taker] | 1 << taker


def serving_pairs(needs: Sequence[Need], released: Sequence[Released]) -> Ints:
    """Pairs (i, j): what need i releases fits need j and is back by then. Refuses with ValueError a
    unit that is back before the day after it came off."""
    on = np.array([need.on.toordinal() for need in needs], dtype=np.int64)
    back = np.array([one.back.toordinal() for one in released], dtype=np.int64)
    if (back <= on).any():
        raise ValueError("A unit is out for one day at least.")
    fit, place, article = _fits(needs, released)
    asked = np.array([need.quantity for need in needs], dtype=np.int64)
    gives = np.array([one.quantity for one in released], dtype=np.int64)
    found = [np.zeros((0, 2), dtype=np.int64)]
    for some in np.array_split(np.arange(len(on)), 1 + len(on) ** 2 // _AT_ONCE):
        in_time = back[some][:, None] <= on[None, :]
        in_time &= gives[some][:, None] >= asked[None, :]
        giver, taker = np.nonzero(in_time & fit[article[some][:, None], place[None, :]])
        found.append(np.stack([some[giver], taker], axis=1))
    return np.concatenate(found)


def _fits(needs: Sequence[Need], released: Sequence[Released]) -> tuple[Any, Ints, Ints]:
    """(whether each sort of released unit fits each sort of need, the needs' sorts, the units' sorts)."""
    places = {thing: at for at, thing in enumerate(dict.fromkeys((n.fits, n.msn) for n in needs))}
    sorts = dict.fromkeys((one.part, one.standard, one.hand) for one in released)
    articles = {thing: at for at, thing in enumerate(sorts)}
    fit = np.array(
        [
            [not fit_reasons_of_part(fits, msn, *article) for fits, msn in places]
            for article in articles
        ],
        dtype=bool,
    ).reshape(len(articles), len(places))
    place = np.array([places[need.fits, need.msn] for need in needs], dtype=np.int64)
    article = [articles[one.part, one.standard, one.hand] for one in released]
    return fit, place, np.array(article, dtype=np.int64)
