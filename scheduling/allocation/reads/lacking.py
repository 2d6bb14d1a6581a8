"""How many spares are short, family by family: one figure, asked by the shortage and by the float."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from scheduling.allocation.facts.codec import need_read, supply_read
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.solving.screen import reason_bits
from scheduling.models import OfferedUnit, ProposalRun, ProposedNeed

from .kept import facts_of

#: Pairs judged at once.
_AT_ONCE = 1 << 20


@dataclass(frozen=True, slots=True)
class Lacking:
    """``short``: the removals of the family that no unit covers, each of which lacks a spare; ``good``: units
    in stores and at shops that may cover at least one of its removals, by every reason of the proposal."""

    short: int = 0
    good: int = 0


def lacking_of(run: ProposalRun, rows: Sequence[ProposedNeed] | None = None) -> dict[str, Lacking]:
    """By family; ``rows`` are all needs of the proposal where somebody has them already. One question, or two."""
    needs = list(ProposedNeed.objects.filter(run=run)) if rows is None else rows
    short: dict[str, int] = defaultdict(int)
    for row in needs:
        short[row.family] += row.unit_id is None
    good = _good_units(run, needs)
    return {family: Lacking(count, good.get(family, 0)) for family, count in short.items()}


def _good_units(run: ProposalRun, rows: Sequence[ProposedNeed]) -> dict[str, int]:
    """Units against which nothing speaks for at least one need of the family."""
    offers = OfferedUnit.objects.filter(run=run, source__in=["store", "shop"]).order_by("unit")
    units = [offer for offer in offers.only("part", "facts", "said") if not offer.said]
    if not units or not rows:
        return {}
    needs = [need_read(row.facts) for row in rows]
    columns = columns_of(facts_of(run, needs, [supply_read(unit.facts) for unit in units]))
    of_family: dict[str, list[int]] = defaultdict(list)
    takes: dict[str, set[str]] = defaultdict(set)
    for at, (row, need) in enumerate(zip(rows, needs, strict=True)):
        of_family[row.family].append(at)
        takes[row.family] |= {fit.part for fit in need.fits}
    found = {}
    for family, which in of_family.items():
        supply = np.array([at for at, unit in enumerate(units) if unit.part in takes[family]], int)
        found[family] = sum(
            int((reason_bits(columns, np.array(which)[:, None], some[None, :]) == 0).any(0).sum())
            for some in np.array_split(supply, len(supply) * len(which) // _AT_ONCE + 1)
            if len(some)
        )
    return found
