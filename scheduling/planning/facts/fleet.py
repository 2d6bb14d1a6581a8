"""The plan of the fleet, or of some aircraft, made of what is stored: nothing of it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
    in the order of ``placed``; the others are to be done now, or wait for their aircraft's return."""

    as_of: date
    prices: Prices
    items: Items
    jobs: Ints
    last_on: Ints
    times: tuple[GroundTime, ...]
    behind: Accesses
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
    column = {name: items.of_jobs(name)[jobs] for name in ("aircraft", "work", "part", "position")}
    last_on = last_days(items.of_jobs("due_on")[jobs])
    of_times = np.array([time.aircraft_id for time in times], np.int64)
    ids = np.unique(np.concatenate([column["aircraft"], of_times]))
    aircraft = np.searchsorted(ids, column["aircraft"])
    works, work = np.unique(column["work"], return_inverse=True)
    prices = prices_now()
    behind = accesses(column["position"], aircraft, prices, aircraft_ids)
    checks = Checks(
        np.searchsorted(ids, of_times),
        np.array([time.starts_on.toordinal() - EPOCH for time in times], np.int64),
        possible(times, works),
    )
    told = Jobs(
        aircraft,
        last_on,
        work.reshape(-1),
        behind.group,
        life_prices(column["part"], prices),
        chosen_for(items, [time.id for time in times])[jobs],
    )
    plan, merged = placed(told, checks, prices.margin_days, behind.opening)
    return FleetPlan(as_of, prices, items, jobs, last_on, tuple(times), behind, plan, merged)
