"""The plan of the fleet, or of some aircraft, made of what is stored: nothing of it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from scheduling.facts.copying import Ints
from scheduling.placing.columns import Checks, Jobs, Merged, Placed
from scheduling.placing.plan import placed

from .ground import (
    Accesses,
    GroundTime,
    Prices,
    accesses,
    ground_times,
    life_prices,
    possible,
    prices_now,
)
from .jobs import PLACEABLE, Items, chosen_for, items_on, last_days

EPOCH = date(1970, 1, 1).toordinal()


@dataclass(frozen=True, slots=True)
class FleetPlan:
    """Every job of the aircraft with its check. ``jobs`` are the rows of ``items.first`` that are placed,
    in the order of ``placed``, and ``life_price`` what 100 days of each cost; the others are to be done now, or
    wait for their aircraft's return."""

    as_of: date
    prices: Prices
    items: Items
    jobs: Ints
    last_on: Ints
    times: tuple[GroundTime, ...]
    behind: Accesses
    life_price: Ints
    placed: Placed
    merged: tuple[Merged, ...]

    def first_items(self, rows: Ints) -> Ints:
        """The rows of the items that decide, of these rows of the plan."""
        found: Ints = self.items.first[self.jobs[rows]]
        return found

    def last_day(self, row: int) -> date | None:
        return day_of(int(self.last_on[row]))


def day_of(number: int) -> date | None:
    """A day since 1970; None of one too far to be any."""
    return date.fromordinal(number + EPOCH) if number + EPOCH <= date.max.toordinal() else None


def plan_of(as_of: date, aircraft_ids: Sequence[int] | None = None) -> FleetPlan:
    """The plan as of today's stored list, of these aircraft (None: of all). A fixed number of questions."""
    return plan_from(as_of, items_on(aircraft_ids), aircraft_ids)


def plan_from(as_of: date, items: Items, aircraft_ids: Sequence[int] | None = None) -> FleetPlan:
    """The same of items that were read."""
    times = ground_times(as_of, aircraft_ids)
    jobs = np.flatnonzero(np.isin(items.of_jobs("band"), [int(band) for band in PLACEABLE]))
    prices = prices_now()
    aircraft = _index(items, jobs, times)[0]
    behind = accesses(items.of_jobs("position")[jobs], aircraft, prices, aircraft_ids)
    price = life_prices(items.of_jobs("part")[jobs], prices)
    return _made(as_of, items, times, _Around(jobs, prices, behind, price))


def plan_again(before: FleetPlan, table: dict[str, Ints], aircraft_ids: Sequence[int]) -> FleetPlan:
    """A plan with the ground times of now, all else as it was; ``table`` has its items, banded by these. What is
    placed is placed still: other checks make no job of what was none. Three questions."""
    items = replace(before.items, table=table)
    times = ground_times(before.as_of, aircraft_ids)
    around = _Around(before.jobs, before.prices, before.behind, before.life_price)
    return _made(before.as_of, items, times, around)


@dataclass(frozen=True, slots=True)
class _Around:
    """What a plan is made of besides its ground times: the rows of its jobs, prices, accesses, lives' prices."""

    jobs: Ints
    prices: Prices
    behind: Accesses
    life_price: Ints


def _index(items: Items, jobs: Ints, times: Sequence[GroundTime]) -> tuple[Ints, Ints]:
    """Aircraft by a place of their own: of each job, of each ground time."""
    of_jobs = items.of_jobs("aircraft")[jobs]
    of_times = np.array([time.aircraft_id for time in times], np.int64)
    ids = np.unique(np.concatenate([of_jobs, of_times]))
    return np.searchsorted(ids, of_jobs), np.searchsorted(ids, of_times)


def _made(as_of: date, items: Items, times: Sequence[GroundTime], around: _Around) -> FleetPlan:
    jobs = around.jobs
    aircraft, of_times = _index(items, jobs, times)
    last_on = last_days(items.of_jobs("due_on")[jobs])
    works, work = np.unique(items.of_jobs("work")[jobs], return_inverse=True)
    checks = Checks(
        of_times,
        np.array([time.starts_on.toordinal() - EPOCH for time in times], np.int64),
        possible(times, works),
    )
    told = Jobs(
        aircraft,
        last_on,
        work.reshape(-1),
        around.behind.group,
        around.life_price,
        chosen_for(items, [time.id for time in times])[jobs],
    )
    plan, merged = placed(told, checks, around.prices.margin_days, around.behind.opening)
    return FleetPlan(
        as_of,
        around.prices,
        items,
        jobs,
        last_on,
        tuple(times),
        around.behind,
        around.life_price,
        plan,
        merged,
    )
