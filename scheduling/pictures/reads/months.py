"""The months ahead: works due in each by kind, what the planned checks take of them, and what they leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

from fleet.drawing.time import month_after
from fleet.models import Kind
from scheduling.engine.basis.bands import Band
from scheduling.facts.copying import key, read
from scheduling.placing.columns import NEEDS, Bools
from scheduling.planning.facts.fleet import FleetPlan, plan_of
from scheduling.planning.facts.hangars import capacities
from scheduling.planning.facts.jobs import FAR, NOW

from .slots import SlotDays, slot_days

MONTHS = 12
KIND_OF = "FROM scheduling_dueitem d WHERE d.id = ANY(%s) ORDER BY d.id"
Names = npt.NDArray[np.object_]
OTHER = "works of the aircraft"


@dataclass(frozen=True, slots=True)
class MonthAhead:
    """One month. ``due`` jobs by kind whose last day is in it; ``unmet`` of them fit no planned check. ``checks``
    begin in it, with so many ``ground_days`` and so many jobs ``placed`` at them, due whenever. ``slots`` are the
    days of hangars' slots, of this month from today on."""

    month: date
    due: dict[str, int]
    unmet: int
    checks: int
    ground_days: int
    placed: int
    slots: SlotDays

    @property
    def total(self) -> int:
        return sum(self.due.values())


@dataclass(frozen=True, slots=True)
class Ahead:
    """The months from this one on; ``kinds`` by how much of them is due. ``now`` jobs are overdue or not
    serviceable, ``parked`` are due before their aircraft returns to service, ``undated`` have no day: they are in
    no month."""

    as_of: date
    months: Sequence[MonthAhead]
    kinds: Sequence[str]
    now: int
    parked: int
    undated: int


def months_ahead(today: date) -> Ahead:
    """What the plan says of the months ahead. As many questions as the plan, and three."""
    plan = plan_of(today)
    firsts = [month_after(today, ahead) for ahead in range(MONTHS + 1)]
    kinds = _kinds(plan)
    edges = np.array([first.toordinal() for first in firsts]) - date(1970, 1, 1).toordinal()
    at = np.searchsorted(edges, plan.last_on, side="right") - 1
    needs = np.isin(plan.placed.state, [int(state) for state in NEEDS])
    said = capacities()
    spans = [(firsts[place], firsts[place + 1]) for place in range(MONTHS)]
    slots = [slot_days(plan.times, said, max(first, today), after) for first, after in spans]
    months = [
        _month(plan, spans[place], kinds[at == place], needs & (at == place), slots[place])
        for place in range(MONTHS)
    ]
    bands = plan.items.of_jobs("band")
    totals: dict[str, int] = {}
    for month in months:
        for kind, count in month.due.items():
            totals[kind] = totals.get(kind, 0) + count
    return Ahead(
        today,
        months,
        sorted(totals, key=lambda kind: (-totals[kind], kind)),
        now=int(np.isin(bands, [int(band) for band in NOW]).sum()),
        parked=int((bands == Band.BEFORE_RETURN).sum()),
        undated=int((plan.last_on >= FAR).sum()),
    )


def _kinds(plan: FleetPlan) -> Names:
    """The name of the kind of each job."""
    ids = plan.items.table["id"][plan.items.first[plan.jobs]]
    told = read({"id": "d.id", "kind": key("d.kind_id")}, KIND_OF, [np.unique(ids).tolist()])
    names = dict(Kind.objects.values_list("pk", "name"))
    kinds = told["kind"][np.searchsorted(told["id"], ids)] if len(told["id"]) else ids[:0]
    return np.array([names.get(kind, OTHER) for kind in kinds.tolist()], dtype=object)


def _month(
    plan: FleetPlan, span: tuple[date, date], kinds: Names, unmet: Bools, slots: SlotDays
) -> MonthAhead:
    first, after = span
    names, counts = np.unique(kinds.astype(str), return_counts=True)
    times = [at for at, time in enumerate(plan.times) if first <= time.starts_on < after]
    days = sum(
        (plan.times[at].ends_on - plan.times[at].starts_on).days + 1
        for at in times
        if not plan.times[at].is_overnight
    )
    return MonthAhead(
        first,
        dict(zip(names.tolist(), counts.tolist(), strict=True)),
        int(unmet.sum()),
        sum(not plan.times[at].is_overnight for at in times),
        days,
        int(np.isin(plan.placed.check, times).sum()) if times else 0,
        slots,
    )
