"""Reads of the fleet that screens need: each a fixed number of queries for any number of rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Case, OuterRef, Q, QuerySet, Subquery, When
from django.db.models.functions import TruncDate

from fleet.drawing.time import month_after
from fleet.models import (
    Aircraft,
    AircraftPosition,
    AircraftStation,
    AircraftStatus,
    Check,
    Measure,
    PositionState,
    UtilisationReading,
)
from fleet.utilisation import months as usage

from .planned import not_over, planned_checks


@dataclass(frozen=True, slots=True)
class PositionRow:
    """One position of one aircraft as it was on a day: ``state`` active, deactivated or absent."""

    id: int
    code: str
    name: str
    kind: str
    zone: str
    side: str
    capacity: int
    x_cm: int
    y_cm: int
    state: str
    document: str


@dataclass(frozen=True, slots=True)
class UsedMonths:
    """Use of one measure month by month, in its own unit (hours, not minutes)."""

    name: str
    months: list[tuple[date, float]]
    latest_on: date | None
    latest_total: int | None
    is_hours: bool


def fleet_on(day: date) -> QuerySet[Aircraft]:
    """Every aircraft with its type, station and the first check that is not over on that day; those that
    have left the fleet behind all others."""
    coming = (
        planned_checks()
        .filter(not_over(day), aircraft=OuterRef("pk"), sort=Check.CHECK)
        .order_by("starts_on", "pk")
    )
    return (
        Aircraft.objects.select_related("aircraft_type", "station")
        .annotate(
            next_check_name=Subquery(coming.values("name")[:1]),
            next_check_on=Subquery(coming.values("starts_on")[:1]),
        )
        .order_by(Case(When(status=Aircraft.LEFT, then=1), default=0), "registration")
    )


def positions_on(aircraft: Aircraft, day: date, known_at: datetime | None) -> list[PositionRow]:
    """The aircraft's positions with their state on a day, as the records said at ``known_at``."""
    states = PositionState.objects.filter(position__aircraft=aircraft, from_on__lte=day)
    if known_at:
        states = states.filter(recorded_at__lte=known_at)
    latest = {s.position_id: s for s in states.order_by("from_on", "recorded_at", "pk")}
    places = AircraftPosition.objects.filter(aircraft=aircraft).select_related(
        "type_position__kind"
    )
    return [
        _position_row(place, latest.get(place.pk))
        for place in places.order_by("type_position__x_cm", "type_position__y_cm", "pk")
    ]


def _position_row(place: AircraftPosition, latest: PositionState | None) -> PositionRow:
    of_type = place.type_position
    return PositionRow(
        id=place.pk,
        code=of_type.code,
        name=of_type.name,
        kind=of_type.kind.name,
        zone=of_type.zone,
        side=of_type.side,
        capacity=of_type.capacity,
        x_cm=of_type.x_cm,
        y_cm=of_type.y_cm,
        state=latest.state if latest else PositionState.ACTIVE,
        document=latest.document if latest else "",
    )


def was_on(aircraft: Aircraft, day: date, known_at: datetime | None) -> dict[str, Any]:
    """Status and station on a day; the latest facts on or before it. And its leaving the fleet, if that is
    known to come."""
    facts: dict[str, QuerySet[Any]] = {
        "status": AircraftStatus.objects.filter(aircraft=aircraft),
        "station": AircraftStation.objects.filter(aircraft=aircraft).select_related("station"),
    }
    known = Q(recorded_at__lte=known_at) if known_at else Q()
    last = facts["status"].filter(known).order_by("-from_on", "-pk").first()
    leaves = last if last and last.status == Aircraft.LEFT and last.from_on > day else None
    return {
        name: of_aircraft.filter(known, from_on__lte=day).order_by("-from_on", "-pk").first()
        for name, of_aircraft in facts.items()
    } | {"leaves": leaves}


def coming_checks(aircraft_id: int, day: date) -> QuerySet[Check]:
    """Planned ground times that are not over on that day, soonest first."""
    return (
        planned_checks()
        .filter(not_over(day), aircraft_id=aircraft_id)
        .select_related("station")
        .order_by("starts_on", "pk")
    )


def use_by_month(
    aircraft: Aircraft, day: date, known_at: datetime | None = None, months: int = 24
) -> list[UsedMonths]:
    """Each measure counted on the aircraft, month by month up to the month before ``day``'s, as the records
    said at ``known_at``. A reading is of the day that it was where the aircraft is based."""
    zone = ZoneInfo(aircraft.station.time_zone)
    since = month_after(day, -months) - timedelta(days=40)
    readings: dict[int, list[usage.Reading]] = {}
    dated = UtilisationReading.objects.annotate(read_on=TruncDate("read_at", tzinfo=zone))
    counted = dated.filter(
        aircraft=aircraft,
        is_conforming=True,
        is_annulment=False,
        read_on__gte=since,
        read_on__lte=day,
    )
    if known_at:
        corrected_later = Q(corrected_by=None) | Q(corrected_by__recorded_at__gt=known_at)
        counted = counted.filter(corrected_later, recorded_at__lte=known_at)
    else:
        counted = counted.filter(corrected_by=None)
    for measure_id, read_on, total in counted.order_by("read_at", "pk").values_list(
        "measure_id", "read_on", "total"
    ):
        readings.setdefault(measure_id, []).append((read_on, total))
    measures = Measure.objects.filter(pk__in=readings).order_by("-unit", "name")
    return [_used(measure, readings[measure.pk], day, months) for measure in measures]


def _used(measure: Measure, readings: list[usage.Reading], day: date, months: int) -> UsedMonths:
    is_hours = measure.unit == Measure.MINUTES
    per = 60.0 if is_hours else 1.0
    one_a_day = sorted(dict(readings).items())
    by_month = [(first, used / per) for first, used in usage.by_month(one_a_day, day, months)]
    return UsedMonths(measure.name, by_month, one_a_day[-1][0], one_a_day[-1][1], is_hours)
