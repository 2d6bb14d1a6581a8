"""The facts of a batch of units as of a day: what they are, where they are and were."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
from django.conf import settings

from equipment.models import Certificate, Place, Unit
from fleet.models import Station

from .copying import Ints, day, first_at, key, last_of_each, read, second, total

Bools = npt.NDArray[np.bool_]

SORTS = tuple(sort for sort, _ in Place.SORTS)
AIRCRAFT, INSIDE, GONE = SORTS.index("aircraft"), SORTS.index("inside"), SORTS.index("gone")
STORES = (SORTS.index("store"), SORTS.index("quarantine"))
PRECISIONS = ("instant", "day", "month", "year")  # the engine: 0 day, 1 month, 2 year


@dataclass(frozen=True, slots=True)
class UnitSelection:
    """Which units: those of keys from ``low`` up to but not ``high``, or the listed ones.

    ``absorbed`` maps units that were merged into another (outermost) one: their facts are its.
    """

    low: int = 0
    high: int = 0
    ids: tuple[int, ...] | None = None
    absorbed: tuple[tuple[int, int], ...] = ()

    def within(self, column: str, with_absorbed: bool = True) -> tuple[str, list[Any]]:
        """The condition that a column names one of them, and its values."""
        others = [one for one, kept in self.absorbed if self._has(kept)] if with_absorbed else []
        if self.ids is not None:
            return f"{column} = ANY(%s)", [[*self.ids, *others]]
        if not others:
            return f"{column} >= %s AND {column} < %s", [self.low, self.high]
        return f"({column} >= %s AND {column} < %s OR {column} = ANY(%s))", [
            self.low,
            self.high,
            others,
        ]

    def _has(self, unit: int) -> bool:
        return unit in self.ids if self.ids is not None else self.low <= unit < self.high

    def kept(self, units: Ints) -> Ints:
        """The units whose facts these are, the absorbed ones replaced by what they are now."""
        if not self.absorbed:
            return units
        pairs = np.array(self.absorbed, np.int64)
        at = first_at(pairs[:, 0], units)
        return np.where(at >= 0, pairs[at, 1], units)


def absorbed_units() -> tuple[tuple[int, int], ...]:
    """(absorbed, the one it is now) of every merge, through chains of them, by the first."""
    into = dict(Unit.objects.filter(merged_into__isnull=False).values_list("pk", "merged_into_id"))
    found = []
    for unit in sorted(into):
        kept, seen = unit, {unit}
        while kept in into and into[kept] not in seen:
            kept = into[kept]
            seen.add(kept)
        found.append((unit, kept))
    return tuple(found)


def end_of(day_: date) -> datetime:
    """The instant at which a day of the operator ends."""
    zone = ZoneInfo(settings.GREENBAND_TODAY_ZONE)
    return datetime.combine(day_ + timedelta(days=1), time(), zone)


def described(which: UnitSelection) -> dict[str, Ints]:
    """One row per unit that is one (not merged into another), sorted by key."""
    where, params = which.within("u.id", with_absorbed=False)
    precision = "coalesce(array_position(%s::text[], u.manufactured_precision::text), 2)"
    return read(
        {
            "id": "u.id",
            "original": "u.original_part_id",
            "part": "u.part_number_id",
            "standard": key("u.standard_id"),
            "manufactured": day("u.manufactured_on"),
            "precision": f"greatest({precision} - 2, 0)::bigint",
            "life": total("u.stated_life_months"),
            "stamp": "u.facts_stamp",
        },
        f"FROM equipment_unit u WHERE u.merged_into_id IS NULL AND {where} ORDER BY u.id",
        [list(PRECISIONS), *params],
    )


def identified(which: UnitSelection, as_of: date) -> dict[str, Ints]:
    """The identifications of units, sorted by unit and day; ``by_then`` 1 where it held by the day."""
    where, params = which.within("i.unit_id", with_absorbed=False)
    return read(
        {
            "unit": "i.unit_id",
            "part": "i.part_number_id",
            "standard": key("i.standard_id"),
            "by_then": "(i.from_on <= %s)::int::bigint",
        },
        f"FROM equipment_identification i WHERE {where} ORDER BY i.unit_id, i.from_on, i.id",
        [as_of, *params],
    )


def parts(part_ids: Ints) -> dict[str, Ints]:
    """Kind and stated life of part numbers, sorted by key."""
    return read(
        {"id": "p.id", "kind": "p.kind_id", "life": total("p.stated_life_months")},
        "FROM equipment_partnumber p WHERE p.id = ANY(%s) ORDER BY p.id",
        [part_ids.tolist()],
    )


def stays(which: UnitSelection, as_of: date) -> dict[str, Ints]:
    """Where units were, as is known now, sorted by unit and time: days in the zone they happened in.
    ``is_by`` 1 where a unit was there by that day, nobody knows since when."""
    where, params = which.within("s.unit_id", with_absorbed=False)
    begin = "lower(s.valid) AT TIME ZONE coalesce(b.zone, 'UTC')"
    end = "upper(s.valid) AT TIME ZONE coalesce(e.zone, b.zone, 'UTC')"
    until = end_of(as_of)
    return read(
        {
            "unit": "s.unit_id",
            "sort": "(array_position(%s::text[], p.sort::text) - 1)::bigint",
            "station": key("p.station_id"),
            "from_on": day(f"({begin})::date"),
            "to_on": day(f"({end})::date"),
            "is_by": "(coalesce(b.precision, '') = 'by')::int::bigint",
            "is_now": "(upper_inf(s.valid) OR upper(s.valid) >= %s)::int::bigint",
        },
        "FROM equipment_stay s JOIN equipment_place p ON p.id = s.place_id"
        " LEFT JOIN equipment_movement b ON b.id = s.begun_by_id"
        " LEFT JOIN equipment_movement e ON e.id = s.ended_by_id"
        f" WHERE upper_inf(s.known) AND lower(s.valid) < %s AND {where}"
        " ORDER BY s.unit_id, lower(s.valid), s.id",
        [list(SORTS), until, until, *params],
    )


def fitted(which: UnitSelection, as_of: date) -> dict[str, Ints]:
    """Periods on aircraft, sorted by unit and time; instants in the wall-clock time of the place."""
    where, params = which.within("f.unit_id", with_absorbed=False)
    zones = set(Station.objects.values_list("time_zone", flat=True))
    begin, end = (_local(column, zones) for column in ("f.from_at", "f.to_at"))
    until = end_of(as_of)
    return read(
        {
            "unit": "f.unit_id",
            "aircraft": "f.aircraft_id",
            "position": "f.root_position_id",
            "line_unit": "f.line_unit_id",
            "from_at": second(begin),
            "to_at": second(end),
            "from_minutes": total("f.from_minutes"),
            "from_cycles": total("f.from_cycles"),
            "to_minutes": total("f.to_minutes"),
            "to_cycles": total("f.to_cycles"),
            "is_now": "(f.to_at IS NULL OR f.to_at >= %s)::int::bigint",
        },
        f"FROM equipment_fittedperiod f WHERE f.from_at < %s AND {where}"
        " ORDER BY f.unit_id, f.from_at, f.id",
        [until, until, *params],
    )


def _local(column: str, zones: set[str]) -> str:
    """The wall-clock time where it happened: by the zone of the movement of the unit itself, or of
    the one it travelled in. Where one zone is in use there is nothing to look up."""
    zone = _quoted(min(zones) if len(zones) == 1 else settings.GREENBAND_TODAY_ZONE)
    if len(zones) > 1:
        own, carrier = (MOVED_IN.format(unit, column) for unit in ("unit_id", "line_unit_id"))
        zone = f"coalesce({own}, {carrier}, {zone})"
    return f"({column} AT TIME ZONE {zone})"


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


MOVED_IN = """(SELECT m.zone FROM equipment_movement m
WHERE m.unit_id = f.{0} AND m.happened_at = {1} ORDER BY m.id DESC LIMIT 1)"""


def statements(which: UnitSelection, as_of: date) -> dict[str, Ints]:
    """Life statements since new that stand, sorted by unit, measure, day."""
    where, params = which.within("l.unit_id")
    found = read(
        {
            "unit": "l.unit_id",
            "measure": "l.measure_id",
            "stated": day("l.stated_on"),
            "total": "l.total",
        },
        "FROM equipment_lifestatement l WHERE l.since = 'new' AND l.stated_on <= %s"
        " AND NOT EXISTS (SELECT 1 FROM equipment_lifestatement c WHERE c.corrects_id = l.id)"
        f" AND {where} ORDER BY l.unit_id, l.measure_id, l.stated_on, l.id",
        [as_of, *params],
    )
    found["unit"] = which.kept(found["unit"])
    order = np.lexsort((found["stated"], found["measure"], found["unit"]))
    found = {name: column[order] for name, column in found.items()}
    last = last_of_each(found["unit"], found["measure"], found["stated"])
    return {name: column[last] for name, column in found.items()}


def certified_new(which: UnitSelection) -> Ints:
    """Units with a certificate that says *new*: our records begin with them unused."""
    papers = Certificate.objects.filter(status__iexact="new")
    if which.ids is not None:
        papers = papers.filter(unit__in=which.ids)
    else:
        papers = papers.filter(unit__gte=which.low, unit__lt=which.high)
    return np.array(sorted(set(papers.values_list("unit_id", flat=True))), np.int64)
