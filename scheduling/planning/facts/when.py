"""On which day each job of the plan is done or what it needs must be there, and at which ground time."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from fleet.models import Aircraft, AircraftStatus
from scheduling.engine.basis.bands import Band
from scheduling.facts.copying import Ints
from scheduling.placing.columns import NONE, Checks, Jobs, Placed, State
from scheduling.placing.plan import placed

from .fleet import EPOCH, FleetPlan, day_of
from .ground import possible
from .jobs import FAR, NOW, PLACEABLE, last_days


@dataclass(frozen=True, slots=True)
class Returns:
    """The days from which aircraft that are or will be parked fly again, as far as they are recorded."""

    days: dict[int, list[date]]

    def after(self, aircraft_id: int, due_on: date) -> date | None:
        """The first return behind a due date; None where none is recorded."""
        return next((day for day in self.days.get(aircraft_id, []) if day > due_on), None)

    def aircraft(self) -> list[int]:
        return list(self.days)


def returns_from(as_of: date) -> Returns:
    """Every return to service that is recorded for a later day. One question."""
    found: dict[int, list[date]] = defaultdict(list)
    statuses = AircraftStatus.objects.filter(from_on__gt=as_of, replaced_by=None)
    statuses = statuses.exclude(status__in=(Aircraft.PARKED, Aircraft.LEFT))
    for aircraft, day in statuses.order_by("from_on", "pk").values_list("aircraft_id", "from_on"):
        found[aircraft].append(day)
    return Returns(dict(found))


@dataclass(frozen=True, slots=True)
class Days:
    """One row for each job. ``on`` is the day (since 1970; FAR where none can be told), ``time`` the row of its
    ground time (NONE: it has none)."""

    on: Ints
    time: Ints


def days_of_jobs(plan: FleetPlan, returns: Returns) -> Days:
    """Of every job: those at a check on its first day, or today where it has begun; those that fit none on
    their last day, or, behind the last planned check, on the last that the margin allows; what is to be
    done now today; what waits for its aircraft on the last day before it flies again."""
    on = _of_bands(plan, plan.items.first, returns)
    on[plan.jobs] = planned_days(plan)
    time = np.full(len(on), NONE)
    time[plan.jobs] = plan.placed.check
    return Days(on, time)


def planned_days(plan: FleetPlan) -> Ints:
    """The days of the jobs that the plan places, in its order."""
    return _days(plan, plan.placed, plan.last_on)


def days_of_items(plan: FleetPlan, rows: Ints, returns: Returns) -> Ints:
    """The days of these items of the plan, were each of them alone. One question."""
    found = _of_bands(plan, rows, returns)
    table = plan.items.table
    alone = np.flatnonzero(np.isin(table["band"][rows], [int(band) for band in PLACEABLE]))
    these = rows[alone]
    works, work = np.unique(table["work"][these], return_inverse=True)
    aircraft = np.array([time.aircraft_id for time in plan.times], np.int64)
    checks = Checks(aircraft, _starts(plan), possible(plan.times, works))
    last_on, none = last_days(table["due_on"][these]), np.full(len(these), NONE)
    price = np.zeros(len(these), np.int64)
    jobs = Jobs(table["aircraft"][these], last_on, work.reshape(-1), none, price, none)
    each, _ = placed(jobs, checks, plan.prices.margin_days, np.empty(0, np.int64))
    found[alone] = _days(plan, each, last_on)
    return found


def _days(plan: FleetPlan, each: Placed, last_on: Ints) -> Ints:
    starts = np.append(_starts(plan), 0)[each.check]
    latest = np.where(each.state == State.BEYOND, last_on - plan.prices.margin_days, last_on)
    on = np.where(each.check >= 0, starts, latest)
    found: Ints = np.maximum(on, plan.as_of.toordinal() - EPOCH)
    return found


def _of_bands(plan: FleetPlan, rows: Ints, returns: Returns) -> Ints:
    """The days of items that the plan does not place; FAR for the others."""
    table, as_of = plan.items.table, plan.as_of
    band = table["band"][rows]
    today = as_of.toordinal() - EPOCH
    found = np.where(np.isin(band, [int(one) for one in NOW]), today, FAR)
    for at in np.flatnonzero(band == Band.BEFORE_RETURN).tolist():
        due = day_of(int(last_days(table["due_on"][rows[at : at + 1]])[0])) or as_of
        back = returns.after(int(table["aircraft"][rows[at]]), due)
        if back is not None:
            found[at] = max((back - timedelta(days=1)).toordinal() - EPOCH, today)
    return found


def _starts(plan: FleetPlan) -> Ints:
    return np.array([time.starts_on.toordinal() - EPOCH for time in plan.times], np.int64)
