"""Planned removals out of the due items: rolled up to the unit that comes off on the line, each at the
ground time that the due engine's band names."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import Count

from scheduling.engine.basis.bands import Band
from scheduling.engine.telling.flags import Flag
from scheduling.models import DueItem

from .plan import Returns, Stop
from .reading import rows

NOW = (Band.UNSERVICEABLE, Band.OVERDUE)
DATED = (
    *NOW,
    Band.OUT_OF_PHASE,
    Band.BEFORE_RETURN,
    Band.NEXT_CHECK,
    Band.LATER_CHECK,
    Band.BEYOND_PLAN,
)
ITEMS = """
SELECT d.line_unit_id, d.unit_id, d.aircraft_id, d.position_id, d.band, d.due_on, d.check_planned_id,
       d.flags, w.code, w.name
FROM scheduling_dueitem d JOIN scheduling_work w ON w.id = d.work_id
WHERE d.line_unit_id IS NOT NULL AND d.aircraft_id IS NOT NULL AND d.band = ANY(%(bands)s)
  AND (d.sort_on <= %(until)s OR d.band = %(unfit)s) AND (d.unit_id <> d.line_unit_id OR NOT w.is_done_in_place
  OR d.band = %(unfit)s)
ORDER BY d.line_unit_id, d.id
"""


class DueRow(NamedTuple):
    line_unit_id: int
    unit_id: int
    aircraft_id: int
    position_id: int
    band: int
    due_on: date | None
    check_id: int | None
    flags: int
    work: str
    work_name: str


@dataclass(frozen=True, slots=True)
class Removal:
    """A unit comes off: on which day, at which stop (None: it needs a ground time of its own)."""

    unit_id: int
    aircraft_id: int
    position_id: int
    on: date
    stop: Stop | None
    works: frozenset[str]
    work_names: tuple[str, ...]
    latest_on: date
    ends_life: bool
    opportunities: tuple[date, ...]


def removals_until(
    as_of: date, until: date, stops: Mapping[int, tuple[Stop, ...]], returns: Returns
) -> list[Removal]:
    """Every removal planned from a day through another, one for each unit, in the order of their keys.
    One question."""
    of_unit: dict[int, list[DueRow]] = defaultdict(list)
    values = {
        "bands": [int(band) for band in DATED],
        "until": until,
        "unfit": int(Band.UNSERVICEABLE),
    }
    for row in rows(DueRow, ITEMS, values):
        if row.band != Band.BEFORE_RETURN or returns.after(row.aircraft_id, row.due_on or as_of):
            of_unit[row.line_unit_id].append(row)
    found = [
        _removal(items, (stops.get(items[0].aircraft_id, ()), returns), as_of)
        for items in of_unit.values()
    ]
    return [removal for removal in found if removal.on <= until]


def _removal(items: list[DueRow], ways: tuple[tuple[Stop, ...], Returns], as_of: date) -> Removal:
    """All that makes one unit come off, at the earliest of its days."""
    stops, _ = ways
    placed = [(*_when(item, ways, as_of), item) for item in items]
    on, stop = min(((day, at) for day, at, _ in placed), key=lambda pair: pair[0])
    now = [item for day, _, item in placed if day == on]
    works = frozenset(item.work for item in now)
    dues = [item.due_on for item in items if item.due_on]
    return Removal(
        unit_id=items[0].line_unit_id,
        aircraft_id=items[0].aircraft_id,
        position_id=items[0].position_id,
        on=on,
        stop=stop,
        works=works,
        work_names=tuple(sorted({item.work_name for item in now})),
        latest_on=max(min(dues, default=on), on),
        ends_life=any(
            item.unit_id == item.line_unit_id and item.flags & Flag.END_OF_LIFE for item in now
        ),
        opportunities=tuple(
            one.starts_on for one in stops if one.starts_on > on and one.can_do(works)
        ),
    )


def _when(
    item: DueRow, ways: tuple[tuple[Stop, ...], Returns], as_of: date
) -> tuple[date, Stop | None]:
    """The day on which an item's work is planned, and the stop.

    Overdue or not serviceable: now. Out of phase: by its due date, the next check comes too late. Beyond the plan: the
    last stop before its due date that can do it, as no later one is planned. Before return to service:
    on the last day before it flies again.
    """
    stops, returns = ways
    if item.band in NOW:
        return as_of, None
    due = max(item.due_on or as_of, as_of)
    if item.band == Band.OUT_OF_PHASE:
        return due, None
    if item.band == Band.BEFORE_RETURN:
        back = returns.after(item.aircraft_id, item.due_on or as_of)
        return max(back - timedelta(days=1) if back else due, as_of), None
    if item.band == Band.BEYOND_PLAN:
        able = [one for one in stops if one.starts_on <= due and one.can_do(frozenset({item.work}))]
        return (able[-1].starts_on, able[-1]) if able else (due, None)
    stop = next((one for one in stops if one.id == item.check_id), None)
    return (stop.starts_on, stop) if stop else (due, None)


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


def units_of(removals: Iterable[Removal]) -> list[int]:
    return [removal.unit_id for removal in removals]
