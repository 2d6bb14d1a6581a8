"""What a pairing costs: life thrown away, days left on the shelf clock, freight. Whole numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .book import LANE_STEP
from .columns import FAR, Columns, Ints
from .facts import NO_LIMIT, Facts, Need, Supply
from .lasting import last_days, lasts_at


@dataclass(frozen=True, slots=True)
class Cost:
    """The parts of a cost. ``life_days`` are lost when the unit comes off at the last opportunity it
    lasts to, before a planned one that it does not reach; ``beyond_days`` are left after the last opportunity that is
    planned: nobody knows yet that they are lost, and they count so that what ends first goes first; ``shelf_days`` are left on its shelf clock when it is taken, so that what
    would run out on the shelf goes first."""

    life_days: int
    beyond_days: int
    shelf_days: int
    freight: int
    total: int


def cost_of(facts: Facts, need: Need, supply: Supply) -> Cost:
    """The cost of one pairing that nothing speaks against."""
    lasts = lasts_at(need, supply)
    assert lasts is not None, "a unit of unknown life covers nothing"
    life = beyond = shelf = 0
    if lasts != NO_LIMIT:
        reached = [day for day in need.opportunities if need.on < day <= lasts]
        left = (lasts - max([need.on, *reached])).days
        if lasts < max([need.on, *need.opportunities]):
            life = left
        else:
            beyond = left
    if supply.shelf_until != NO_LIMIT:
        shelf = (supply.shelf_until - need.on).days
    freight = _freight(facts, need, supply)
    prices = facts.prices
    total = prices.life_day * (life + beyond) + prices.shelf_day * shelf + prices.freight * freight
    return Cost(life, beyond, shelf, freight, total)


def _freight(facts: Facts, need: Need, supply: Supply) -> int:
    if supply.station == need.station:
        return 0
    ways = [
        (way.days, way.cost)
        for way in facts.ways
        if (way.origin, way.station) == (supply.station, need.station)
        and way.is_dangerous == supply.is_dangerous
    ]
    return min(ways)[1]


def cost_columns(columns: Columns, need: Ints, supply: Ints) -> Ints:
    """The total cost of each pair of rows that nothing speaks against."""
    needs, supplies, prices = columns.needs, columns.supplies, columns.book.prices
    shelf = supplies.shelf_until[supply].astype(np.int64)
    cost = _life_days(columns, need, supply) * prices.life_day
    cost += np.where(shelf == FAR, 0, shelf - needs.on[need]) * prices.shelf_day
    dangerous = supplies.is_dangerous[supply].astype(np.intp)
    freight = columns.related.freight[dangerous, supplies.station[supply], needs.station[need]]
    return cost + freight * prices.freight


def _life_days(columns: Columns, need: Any, supply: Any) -> Any:
    """Days from the last opportunity that the unit reaches. A unit lasts to ``until`` at least, so an
    opportunity of its own lane, or the day of the need, always stands before it."""
    lasts = last_days(columns, need, supply).astype(np.int64)
    codes = columns.needs.lane[need] * LANE_STEP + lasts
    at = np.searchsorted(columns.related.lane_days, codes, side="right") - 1
    reached = columns.related.lane_days[at] % LANE_STEP
    return np.where(lasts == FAR, 0, lasts - reached)
