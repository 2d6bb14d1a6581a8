"""The plan of the whole fleet, over reading the rows that it is made of; one check moved, over the whole plan."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date, datetime, timedelta
from statistics import median
from typing import Any
from uuid import uuid4

from django.contrib.auth import get_user_model

from fleet.aircraft.acts.changes import ChangedCheck, change_check
from fleet.bench.load_units import Figure
from fleet.models import Aircraft, Check
from scheduling.engine.basis.bands import Band
from scheduling.entries.foretold.moves import Reach, foresee
from scheduling.facts.copying import read
from scheduling.planning.facts.fleet import plan_of
from scheduling.planning.facts.jobs import COLUMNS, DATED, ITEMS

TARGET_PLAN, TARGET_WHAT_IF = 3.0, 0.1


def seconds(day: date, now: datetime, rounds: int = 5) -> dict[str, Any]:
    """Median seconds of reading the rows, of the whole plan, and of one check moved; what there was to plan."""
    bands = [int(band) for band in (*DATED, Band.NO_BASIS)]
    rows = len(read(COLUMNS, ITEMS, [bands, None, None])["id"])
    plan = plan_of(day)
    check = Check.objects.filter(starts_on__gt=day + timedelta(days=60)).order_by("pk")[0]
    return {
        "aircraft": Aircraft.objects.count(),
        "checks": len(plan.times),
        "items": rows,
        "jobs": len(plan.jobs),
        "merged": len(plan.merged),
        "read_seconds": _median(rounds, lambda: read(COLUMNS, ITEMS, [bands, None, None])),
        "plan_seconds": _median(rounds, lambda: plan_of(day)),
        "what_if_seconds": _median(rounds, lambda: _moved(check, day, now)),
    }


def _moved(check: Check, day: date, now: datetime) -> None:
    """What a check moved by nine days changes on the due list and the plan."""
    by = get_user_model().objects.get(username="bench")
    start, end = check.starts_on + timedelta(days=9), check.ends_on + timedelta(days=9)
    change = ChangedCheck(check.pk, check.name, start, end, check.station_id)
    foresee(
        lambda: change_check(by=by, change=change, act_id=uuid4(), at=now),
        Reach(aircraft_ids=(check.aircraft_id,), is_of_checks=True),
        [day],
    )


def _median(rounds: int, work: Callable[[], Any]) -> float:
    taken = []
    for _ in range(rounds):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return round(median(taken), 3)


def figures_of(taken: dict[str, Any], peak: int) -> dict[str, Figure]:
    """The two figures of what was measured."""
    plan = taken["plan_seconds"] / taken["read_seconds"]
    moved = taken["what_if_seconds"] / taken["plan_seconds"]
    return {
        "plan_fleet": Figure(
            "plan_fleet",
            round(plan, 3),
            "x reading its rows",
            f"<= {TARGET_PLAN}",
            plan <= TARGET_PLAN,
            peak,
            {},
        ),
        "what_if": Figure(
            "what_if",
            round(moved, 3),
            "x the whole plan",
            f"<= {TARGET_WHAT_IF}",
            moved <= TARGET_WHAT_IF,
            peak,
            {},
        ),
    }
