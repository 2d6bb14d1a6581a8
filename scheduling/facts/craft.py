"""The facts of aircraft as of a day: programme, station, status, rates, readings, planned checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

import numpy as np
import numpy.typing as npt
from django.db.models import Exists, OuterRef, Subquery, Value
from django.db.models.functions import Coalesce

from fleet.aircraft.planned import planned_checks
from fleet.models import Aircraft as AircraftRow
from fleet.models import AircraftPosition, Check, Measure, PositionState
from scheduling.engine.basis.bands import Checks, Planned
from scheduling.engine.basis.columns import Aircraft, Readings

from ..models import Work
from .ahead import NO_PROGRAMME, ToCome, Today, to_come
from .condition.unfit import UnfitUnits, unfit_units
from .copying import (
    Ints,
    day,
    days,
    first_at,
    flag,
    key,
    last_of_each,
    read_of,
    second,
    seconds,
    total,
)

ACTIVE = PositionState.ACTIVE
ALL_OR_THESE = "(%s::bigint[] IS NULL OR {0} = ANY(%s::bigint[]))"


@dataclass(frozen=True, slots=True)
class Positions:
    """Positions of the aircraft in the order of their keys; ``aircraft`` is an index of Craft."""

    ids: Ints
    aircraft: Ints
    kind_id: Ints
    is_active: npt.NDArray[np.bool_]
    codes: tuple[str, ...]

    def with_codes(self, codes: frozenset[str]) -> npt.NDArray[np.bool_]:
        return np.array([code in codes for code in self.codes], bool)


@dataclass(frozen=True)
class AircraftFacts:
    """Aircraft in the order of their keys: an index into it is the engine's index of an aircraft.

    ``programme_id`` and ``station_id`` are those of the day, -1 for none: an aircraft that ``has_left``
    the fleet by then follows no programme. ``check_ids`` are the keys of the rows of ``checks``. ``of``: the aircraft asked for, None for all.
    """

    as_of: date
    of: tuple[int, ...] | None
    ids: Ints
    programme_id: Ints
    station_id: Ints
    has_left: npt.NDArray[np.bool_]
    stamp: Ints
    table: Aircraft
    readings: Readings
    check_ids: Ints
    checks: Checks
    to_come: ToCome

    def following(self, on: date) -> AircraftFacts:
        """The same aircraft under the programmes that they will follow on a later day."""
        return replace(self, programme_id=self.to_come.programmes_on(self.programme_id, on))

    @cached_property
    def positions(self) -> Positions:
        """Read when a rule asks for them: few are about positions, and an aircraft has hundreds."""
        return _positions(self.as_of, self.ids, self.of)

    @cached_property
    def msns(self) -> tuple[str, ...]:
        """Read when a rule asks for them."""
        return _msns(self.of)

    @cached_property
    def unfit(self) -> UnfitUnits:
        """What is on these aircraft and not serviceable. Read when due items are made of it."""
        return unfit_units(self.of, self.as_of)

    def index(self, aircraft_ids: Ints) -> Ints:
        """The index of each aircraft, -1 for none."""
        return first_at(self.ids, aircraft_ids)


def craft_on(
    as_of: date,
    measures: Sequence[Measure],
    aircraft_ids: Sequence[int] | None = None,
    *,
    with_checks: bool = True,
) -> AircraftFacts:
    """The facts of these aircraft (None: of all) as of a day. Six queries; fewer without planned checks."""
    these = None if aircraft_ids is None else sorted(set(aircraft_ids))
    found = _aircraft(as_of, these)
    ids = found["id"]
    check_ids, checks = checks_of(ids, these) if with_checks else (ids[:0], Checks(Planned.of(0)))
    table = Aircraft.of(
        len(ids),
        measures=len(measures),
        manufactured_on=days(found["manufactured"]),
        parked=found["parked"] == 1,
        per_day_milli=_planned_rates(as_of, measures, ids, these),
    )
    has_left = found["has_left"] == 1
    coming = to_come(as_of, measures, ids, these, Today(table, found["programme"], has_left))
    return AircraftFacts(
        as_of=as_of,
        of=None if these is None else tuple(these),
        ids=ids,
        programme_id=np.where(has_left, NO_PROGRAMME, found["programme"]),
        has_left=has_left,
        station_id=found["station"],
        stamp=found["stamp"],
        table=table,
        readings=_readings(measures, ids, these),
        check_ids=check_ids,
        checks=checks,
        to_come=coming,
    )


def _msns(these: Sequence[int] | None) -> tuple[str, ...]:
    wanted = AircraftRow.objects.order_by("pk")
    if these is not None:
        wanted = wanted.filter(pk__in=these)
    return tuple(wanted.values_list("msn", flat=True))


def _positions(as_of: date, ids: Ints, these: Sequence[int] | None) -> Positions:
    states = PositionState.objects.filter(position=OuterRef("pk"))
    by_then = states.filter(from_on__lte=as_of).order_by("-from_on", "-pk")
    # The column is the latest state: before the first that has a date, a position was active.
    rows = AircraftPosition.objects.order_by("pk").annotate(
        state=Coalesce(Subquery(by_then.values("state")[:1]), Value(ACTIVE)),
        is_dated=Exists(states),
    )
    if these is not None:
        rows = rows.filter(aircraft__in=these)
    numbers_of = ("pk", "aircraft_id", "type_position__kind_id")
    found = list(
        rows.values_list(*numbers_of, "state", "is_active", "is_dated", "type_position__code")
    )
    numbers = np.array([row[:3] for row in found], np.int64).reshape(-1, 3)
    return Positions(
        ids=numbers[:, 0],
        aircraft=first_at(ids, numbers[:, 1]),
        kind_id=numbers[:, 2],
        is_active=np.array([r[3] == ACTIVE if r[5] else r[4] for r in found], bool),
        codes=tuple(row[6] for row in found),
    )


def _aircraft(as_of: date, these: list[int] | None) -> dict[str, Ints]:
    latest = "(SELECT {0} FROM {1} x WHERE x.aircraft_id = a.id AND x.from_on <= %s ORDER BY x.from_on DESC, x.id DESC LIMIT 1)"
    programme = latest.format("x.programme_id", "scheduling_programmeofaircraft")
    station = latest.format("x.station_id", "fleet_aircraftstation")
    status = latest.format("x.status", "fleet_aircraftstatus")
    return read_of(
        these,
        {
            "id": "a.id",
            "programme": key(programme),
            "station": key(f"coalesce({station}, a.station_id)"),
            "parked": flag(f"coalesce({status}, a.status) = 'parked'"),
            "has_left": flag(f"coalesce({status}, a.status) = 'left'"),
            "manufactured": day("a.manufactured_on"),
            "stamp": "a.facts_stamp",
        },
        f"FROM fleet_aircraft a WHERE {ALL_OR_THESE.format('a.id')} ORDER BY a.id",
        [as_of, as_of, as_of, as_of, these, these],
    )


def _planned_rates(
    as_of: date, measures: Sequence[Measure], ids: Ints, these: list[int] | None
) -> Ints:
    found = read_of(
        these,
        {
            "aircraft": "r.aircraft_id",
            "measure": "r.measure_id",
            "rate": total("r.per_day_milli"),
        },
        f"FROM fleet_plannedrate r WHERE r.from_on <= %s AND {ALL_OR_THESE.format('r.aircraft_id')}"
        " ORDER BY r.aircraft_id, r.measure_id, r.from_on, r.id",
        [as_of, these, these],
    )
    rates = np.full((len(ids), len(measures)), -(1 << 62), np.int64)
    last = last_of_each(found["aircraft"], found["measure"])
    row = first_at(ids, found["aircraft"][last])
    column = measure_index(measures, found["measure"][last])
    rates[row, column] = found["rate"][last]
    return rates


def measure_index(measures: Sequence[Measure], measure_ids: Ints) -> Ints:
    """The engine's index of each measure by its key. ``measures`` are in the order of their keys."""
    return first_at(np.array([measure.pk for measure in measures], np.int64), measure_ids)


def _readings(measures: Sequence[Measure], ids: Ints, these: list[int] | None) -> Readings:
    """Readings that count: conforming, not withdrawn, not replaced. A date alone is its day's end
    where the aircraft's station is."""
    local = "(r.read_at AT TIME ZONE s.time_zone)"
    at = f"CASE WHEN r.is_date_only THEN date_trunc('day', {local}) + interval '1 day' ELSE {local} END"
    found = read_of(
        these,
        {
            "aircraft": "r.aircraft_id",
            "measure": "r.measure_id",
            "at": second(f"({at})"),
            "total": "r.total",
        },
        "FROM fleet_utilisationreading r JOIN fleet_aircraft a ON a.id = r.aircraft_id"
        f" JOIN fleet_station s ON s.id = a.station_id WHERE {ALL_OR_THESE.format('r.aircraft_id')}"
        " AND r.is_conforming AND NOT r.is_annulment"
        " AND NOT EXISTS (SELECT 1 FROM fleet_utilisationreading c WHERE c.corrects_id = r.id)"
        " ORDER BY 1, 2, 3, r.id",
        [these, these],
    )
    last = last_of_each(found["aircraft"], found["measure"], found["at"])
    return Readings.of(
        len(last),
        aircraft=first_at(ids, found["aircraft"][last]),
        measure=measure_index(measures, found["measure"][last]),
        at=seconds(found["at"][last]),
        total=found["total"][last],
    )


def checks_of(ids: Ints, these: list[int] | None) -> tuple[Ints, Checks]:
    """Planned checks with the names of the works possible there: those that the check lists, or at
    an overnight stop those that its station lists. Nothing listed means every work."""
    rows = planned_checks().order_by("aircraft", "starts_on", "pk")
    if these is not None:
        rows = rows.filter(aircraft__in=these)
    wanted = (
        "pk",
        "aircraft_id",
        "starts_on",
        "ends_on",
        "closed_on",
        "sort",
        "abilities",
        "station__abilities",
    )
    found = list(rows.values_list(*wanted)) if these is None or these else []
    works = dict(Work.objects.values_list("code", "name")) if found else {}
    listed = [
        frozenset(
            works.get(code, code)
            for code in at_check or (at_stop if sort == Check.OVERNIGHT else [])
        )
        for *_, sort, at_check, at_stop in found
    ]
    abilities = tuple(sorted({codes for codes in listed if codes}, key=sorted))
    planned = Planned.of(
        len(found),
        aircraft=first_at(ids, np.array([row[1] for row in found], np.int64)),
        starts_on=np.array([row[2] for row in found], "datetime64[D]"),
        ends_on=np.array([last_on(*row[3:5]) for row in found], "datetime64[D]"),
        ability=np.array([abilities.index(one) if one else -1 for one in listed], np.int64),
        is_stop=np.array([row[5] == Check.OVERNIGHT for row in found], bool),
    )
    return np.array([row[0] for row in found], np.int64), Checks(planned, abilities)


def last_on(ends_on: date, closed_on: date | None) -> date:
    """The last day on which a check is still to come: of one that was closed the day before that."""
    return ends_on if closed_on is None else min(ends_on, closed_on - timedelta(days=1))
