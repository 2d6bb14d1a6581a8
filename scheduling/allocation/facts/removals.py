"""Planned removals: the jobs of the plan for which a unit comes off, each on the plan's day, at its ground time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.db.models import Count

from scheduling.engine.basis.bands import Band
from scheduling.engine.telling.flags import Flag
from scheduling.facts.copying import Ints
from scheduling.models import DueItem, Work
from scheduling.planning.facts.fleet import EPOCH, FleetPlan, day_of
from scheduling.planning.facts.ground import GroundTime
from scheduling.planning.facts.jobs import comes_off, last_days
from scheduling.planning.facts.when import Days, Returns, days_of_items, days_of_jobs


@dataclass(frozen=True, slots=True)
class Removal:
    """A unit comes off: on which day, at which stop (None: it needs a ground time of its own)."""

    unit_id: int
    aircraft_id: int
    position_id: int
    on: date
    stop: GroundTime | None
    works: frozenset[str]
    work_names: tuple[str, ...]
    latest_on: date
    ends_life: bool
    opportunities: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class _Known:
    """What every removal is made from. ``works`` are codes and names by key."""

    plan: FleetPlan
    days: Days
    times: Mapping[int, list[GroundTime]]
    works: Mapping[int, tuple[str, str]]

    def opportunities(self, aircraft: int, on: date, works: frozenset[str]) -> tuple[date, ...]:
        return tuple(
            time.starts_on
            for time in self.times.get(aircraft, ())
            if time.starts_on > on and time.can_do(works)
        )


def removals_until(plan: FleetPlan, returns: Returns, until: date) -> list[Removal]:
    """Every removal planned through a day, one for each unit, in the order of their keys. Two questions."""
    days, table = days_of_jobs(plan, returns), plan.items.table
    wanted = comes_off(table)[plan.items.first] & (days.on <= until.toordinal() - EPOCH)
    rows = np.flatnonzero(plan.items.job >= 0)
    rows = rows[wanted[plan.items.job[rows]]]
    if not len(rows):
        return []
    rows = rows[np.lexsort((table["id"][rows], table["line"][rows]))]
    job = plan.items.job[rows]
    alone = days_of_items(plan, rows, returns)
    is_first = rows == plan.items.first[job]
    # Done with the one that decides: whatever would not be left for later by itself.
    base = np.zeros(len(days.on), np.int64)
    base[job[is_first]] = np.maximum(alone[is_first], days.on[job[is_first]])
    with_it = is_first | (alone <= base[job])
    works = Work.objects.values_list("pk", "code", "name")
    times: dict[int, list[GroundTime]] = defaultdict(list)
    for time in plan.times:
        times[time.aircraft_id].append(time)
    known = _Known(plan, days, times, {key: (code, name) for key, code, name in works})
    begins = np.flatnonzero(np.append(True, job[1:] != job[:-1]))
    ends = np.append(begins[1:], len(rows)).tolist()
    return [
        _removal(known, int(job[begin]), rows[begin:end][with_it[begin:end]])
        for begin, end in zip(begins.tolist(), ends, strict=True)
    ]


def _removal(known: _Known, job: int, now: Ints) -> Removal:
    """A unit that comes off. ``now`` are the rows of the items that are done as it does."""
    plan, table = known.plan, known.plan.items.table
    first = int(plan.items.first[job])
    on = day_of(int(known.days.on[job])) or plan.as_of
    time = int(known.days.time[job])
    told = [known.works[work] for work in table["work"][now].tolist()]
    works = frozenset(code for code, _ in told)
    last = day_of(int(last_days(table["due_on"][first : first + 1])[0])) or on
    is_end = (table["flags"][now] & int(Flag.END_OF_LIFE)) != 0
    line, aircraft = int(table["line"][first]), int(table["aircraft"][first])
    return Removal(
        unit_id=line,
        aircraft_id=aircraft,
        position_id=int(table["position"][first]),
        on=on,
        stop=plan.times[time] if time >= 0 else None,
        works=works,
        work_names=tuple(sorted({name for _, name in told})),
        latest_on=max(last, on),
        ends_life=bool((is_end & (table["unit"][now] == line)).any()),
        opportunities=known.opportunities(aircraft, on, works),
    )


def left_out(returns: Returns) -> dict[str, int]:
    """Units that come off, but on no day that can be told: aircraft parked without a day of return, missing
    facts. One question."""
    names = {int(Band.BEFORE_RETURN): "parked", int(Band.NO_BASIS): "no_basis"}
    items = DueItem.objects.filter(
        band__in=names,
        line_unit__isnull=False,
        aircraft__isnull=False,
        work__is_done_in_place=False,
    )
    items = items.exclude(band=int(Band.BEFORE_RETURN), aircraft__in=returns.aircraft())
    counted = items.values_list("band").annotate(count=Count("line_unit", distinct=True))
    return {names[band]: count for band, count in counted.order_by("band")}
