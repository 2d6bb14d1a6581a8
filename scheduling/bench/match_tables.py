"""The allocation from the tables on: facts read, the fleet chosen for, the proposal kept, on a real server."""

from __future__ import annotations

import time
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import F, Value
from django.db.models.functions import Concat

from equipment.models import Certificate, Place, Unit
from fleet.bench.load_units import Figure
from scheduling.allocation.acts.make import make_proposal
from scheduling.allocation.facts.gathered import gather
from scheduling.reckoning.bulk import recompute_all

from .figures import apart, counted
from .scratch import fleet_of, settle

#: Of five units of the scratch fleet one is a spare: 100,000 due items are 25,000 units, 5,000 of them spares.
ITEMS, SMALL = 100_000, 10_000
NEEDS = 5_000


def match_tables(day: date, now: datetime) -> Figure:
    """Wall time of a proposal of about 5,000 needs and 5,000 units in stores, from the tables and kept in
    them; the count of queries that read the facts is the same at a tenth of it."""
    with fleet_of(SMALL, day):
        small, _ = apart(_measured, day, now)
    with fleet_of(ITEMS, day):
        found, peak = apart(_measured, day, now)
    same = small["queries"] == found["queries"]
    return Figure(
        "match_tables",
        found.pop("seconds"),
        "s",
        "queries constant",
        same,
        peak,
        {**found, "queries_at_a_tenth": small["queries"], "needs_at_a_tenth": small["needs"]},
    )


def _measured(day: date, now: datetime) -> dict[str, Any]:
    _certify(day, now)
    recompute_all(as_of=day, now=now, why="bench")
    settle()
    until = _horizon(day, now)
    with counted() as queries:
        begun = time.perf_counter()
        gather(day, now, until)
        read = time.perf_counter() - begun
    begun = time.perf_counter()
    run = make_proposal(as_of=day, at=now, until_on=until)
    seconds = time.perf_counter() - begun
    assert run is not None, "nobody else makes one here"
    return {
        "seconds": round(seconds, 2),
        "seconds_of_reading": round(read, 2),
        "queries": len(queries),
        "needs": run.needs,
        "units_in_stores": Unit.objects.filter(place__sort=Place.STORE).count(),
        "short": run.short,
    }


def _certify(day: date, now: datetime) -> None:
    """This will give each spare its certificate."""
    spares = Unit.objects.filter(place__sort=Place.STORE)
    Certificate.objects.bulk_create(
        [
            Certificate(
                unit_id=unit,
                form="BENCH",
                tracking_number=number,
                issued_on=day,
                issuer="Bench",
                status="OVERHAULED",
                recorded_at=now,
            )
            for unit, number in spares.values_list("pk", Concat(Value("B"), F("serial_number")))
        ],
        batch_size=5_000,
    )


def _horizon(day: date, now: datetime) -> date:
    """The day until which about as many removals fall as are asked for; three years where they are fewer."""
    latest = day + timedelta(days=3 * 365)
    days = sorted(need.on for need in gather(day, now, latest).facts.needs)
    return days[NEEDS - 1] if len(days) >= NEEDS else latest
