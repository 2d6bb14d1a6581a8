"""The pairs that nothing speaks against, with their cost: the matrix that is solved."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scheduling.matching.facts.columns import Columns, Ints
from scheduling.matching.facts.costs import cost_columns

from .screen import reason_bits

BLOCK = 1 << 21


@dataclass(frozen=True, slots=True)
class Pairs:
    """Rows of needs and of supplies that go together, and the cost of each."""

    need: Ints
    supply: Ints
    cost: Ints


def possible_pairs(columns: Columns) -> Pairs:
    """All pairs without a reason against them. Needs with the same fits are judged together with
    the units of their parts, so the work follows the families and not needs times supplies."""
    of_article = _rows_by(columns.supplies.article, len(columns.book.articles))
    of_slot = _rows_by(columns.needs.slot, len(columns.book.slots))
    found_needs, found_supplies = [_NOTHING], [_NOTHING]
    for slot, needs in enumerate(of_slot):
        if not len(needs):
            continue
        articles = np.flatnonzero(columns.related.fit[slot] == 0)
        supplies = np.concatenate([_NOTHING, *(of_article[one] for one in articles)])
        for some in _chunks(needs, len(supplies)):
            at, other = np.nonzero(reason_bits(columns, some[:, None], supplies[None, :]) == 0)
            found_needs.append(some[at])
            found_supplies.append(supplies[other])
    need, supply = np.concatenate(found_needs), np.concatenate(found_supplies)
    return Pairs(need, supply, cost_columns(columns, need, supply))


_NOTHING = np.zeros(0, dtype=np.int64)


def _rows_by(number: Ints, many: int) -> list[Ints]:
    """The rows that bear each number."""
    order = np.argsort(number, kind="stable")
    ends = np.cumsum(np.bincount(number, minlength=many))
    return np.split(order, ends[:-1]) if many else []


def _chunks(needs: Ints, width: int) -> list[Ints]:
    """Needs in parts whose table with the supplies stays small."""
    parts = 1 + len(needs) * width // BLOCK
    return np.array_split(needs, parts)
