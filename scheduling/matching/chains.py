"""The fewest spares where what a need releases serves only some later needs: parts and alternates.

The pairs (i, j), *what i releases serves j*, are a graph without circles. Needs minus a largest matching of
givers to takers is the fewest chains (Fulkerson); the matching is shown to be largest by a cover of
the pairs with as many needs as it has links (König).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

Places = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class Chains:
    """``next_of`` is what follows each need in its chain (-1: nothing); ``cover`` are the needs of a vertex cover
    (as one that gives, as one that takes), as many as links: no cover of chains has fewer chains."""

    chains: int
    next_of: tuple[int, ...]
    cover: tuple[tuple[int, ...], tuple[int, ...]]


def fewest_chains(needs: int, serves: Iterable[tuple[int, int]]) -> Chains:
    """The fewest chains that cover all needs, each in one, along pairs (i, j): what i releases serves j.

    A released unit that goes by a need without serving it is a pair of its own: close the pairs first
    (:func:`closed`) where the relation is meant to be passed on. Refuses ValueError for a circle.
    """
    pairs = sorted(set(serves))
    order_of(needs, pairs)
    rows = np.array([i for i, _ in pairs], dtype=np.int64)
    columns = np.array([j for _, j in pairs], dtype=np.int64)
    table = csr_array((np.ones(len(pairs)), (rows, columns)), shape=(needs, needs))
    if not needs:
        return Chains(0, (), ((), ()))
    next_of = maximum_bipartite_matching(table, perm_type="column").astype(np.int64)
    links = int((next_of >= 0).sum())
    return Chains(needs - links, tuple(next_of.tolist()), _cover(needs, pairs, next_of))


def _cover(
    needs: int, pairs: list[tuple[int, int]], next_of: Places
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """König: from those that give to nobody, by a free pair there and a chosen one back; covered are the givers
    not reached and the takers reached."""
    gives: list[list[int]] = [[] for _ in range(needs)]
    for giver, taker in pairs:
        gives[giver].append(taker)
    giver_of = {int(taker): giver for giver, taker in enumerate(next_of.tolist()) if taker >= 0}
    todo = [giver for giver in range(needs) if next_of[giver] < 0]
    givers, takers = set(todo), set()
    while todo:
        for taker in gives[todo.pop()]:
            if taker not in takers:
                takers.add(taker)
                giver = giver_of[taker]
                if giver not in givers:
                    givers.add(giver)
                    todo.append(giver)
    return tuple(sorted(set(range(needs)) - givers)), tuple(sorted(takers))


def order_of(needs: int, pairs: Iterable[tuple[int, int]]) -> list[int]:
    """The needs so that each comes after all that serve it. Refuses a circle with ValueError."""
    after: list[list[int]] = [[] for _ in range(needs)]
    waits = [0] * needs
    for giver, taker in pairs:
        after[giver].append(taker)
        waits[taker] += 1
    ready = [need for need in range(needs) if not waits[need]]
    order: list[int] = []
    while ready:
        need = ready.pop()
        order.append(need)
        for taker in after[need]:
            waits[taker] -= 1
            if not waits[taker]:
                ready.append(taker)
    if len(order) < needs:
        raise ValueError(
            "A need cannot serve itself by way of others: the pairs go round in a circle."
        )
    return order


def closed(needs: int, pairs: Iterable[tuple[int, int]]) -> set[tuple[int, int]]:
    """The pairs, and all that follow from passing them on."""
    known = sorted(set(pairs))
    beyond: list[int] = [0] * needs
    after: list[list[int]] = [[] for _ in range(needs)]
    for giver, taker in known:
        after[giver].append(taker)
    for need in reversed(order_of(needs, known)):
        # One whole number holds a set of needs, a bit for each: fast and small.
        for taker in after[need]:
            beyond[need] |= beyond[taker] | 1 << taker
    return {
        (need, taker)
        for need in range(needs)
        for taker in range(needs)
        if beyond[need] >> taker & 1
    }
