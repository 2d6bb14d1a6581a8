"""The fleet's doors for programs: stations, measures, aircraft, readings, checks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet
from django.urls import path
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.acts.repeats import Recorded
from fleet.aircraft.acts.changes import CHANGE_CHECK
from fleet.aircraft.acts.checks import PLAN_CHECK
from fleet.aircraft.acts.statuses import RECORD_STATUS
from fleet.doors import examples
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, found_or_missing
from fleet.doors.lists import listed
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described
from fleet.house.pages import end_of, today, zone
from fleet.models import Aircraft, AircraftPosition, Check, Measure, Station, UtilisationReading
from fleet.utilisation.acts.readings import RECORD_READING

from . import responses
from .ports import Grounding, groundings_of


def aircraft_shown() -> QuerySet[Aircraft]:
    return Aircraft.objects.select_related("aircraft_type", "station")


def aircraft_of(registration: str) -> Aircraft:
    """The aircraft of an address, or a problem that says so."""
    found: Aircraft = found_or_missing(
        aircraft_shown(),
        "unknown_aircraft",
        f"No aircraft has the registration {registration[:20]!r}. See /api/v1/aircraft for those on record.",
        registration=registration.upper(),
    )
    return found


def with_groundings(rows: list[Aircraft]) -> list[Aircraft]:
    """The same aircraft, each with what grounds it today; a page of them asks as often as for all."""
    return _grounded(rows, groundings_of(None, today()))


def _grounded(rows: list[Aircraft], found: Mapping[int, Sequence[Grounding]]) -> list[Aircraft]:
    for each in rows:
        each.grounded_by = list(found.get(each.pk, ()))  # type: ignore[attr-defined]
        each.is_grounded = bool(found.get(each.pk))  # type: ignore[attr-defined]
    return rows


class Stations(Door):
    get = listed(
        "list_stations",
        tag="Fleet",
        summary="Stations",
        description="Airports and hangars, each with its zone of time and what it is able to do.",
        shows=responses.StationShown,
        example=examples.STATION,
        rows=Station.objects.all,
        order=("code", "pk"),
    )


class Measures(Door):
    get = listed(
        "list_measures",
        tag="Fleet",
        summary="Measures",
        description="What is counted: flight hours, flight cycles, fillings, hours of use.",
        shows=responses.MeasureShown,
        example=examples.MEASURE,
        rows=Measure.objects.all,
        order=("code", "pk"),
    )


class AircraftList(Door):
    get = listed(
        "list_aircraft",
        tag="Aircraft",
        summary="Aircraft",
        description="The operator's aircraft by registration, with their latest status and station, and what "
        "grounds them today.",
        shows=responses.AircraftShown,
        example=examples.AIRCRAFT,
        rows=aircraft_shown,
        order=("registration", "pk"),
        asks=responses.AircraftAsked,
        by={"station": "station__code", "aircraft_type": "aircraft_type__code", "status": "status"},
        completed=with_groundings,
    )


class AircraftOne(Door):
    @described(
        tag="Aircraft",
        name="get_aircraft",
        summary="One aircraft",
        description="One aircraft with the positions that it has.",
        answer=responses.AircraftInFull,
        example={**examples.AIRCRAFT, "positions": [examples.POSITION]},
    )
    def get(self, request: Request, registration: str) -> Response:
        aircraft = aircraft_of(registration)
        aircraft.positions_in_order = (  # type: ignore[attr-defined]
            AircraftPosition.objects.filter(aircraft=aircraft)
            .select_related("type_position__kind")
            .order_by("type_position__code", "pk")
        )
        (shown,) = _grounded([aircraft], groundings_of([aircraft.pk], today()))
        return Response(responses.AircraftInFull(shown).data)


def readings_shown() -> QuerySet[UtilisationReading]:
    return UtilisationReading.objects.select_related("measure", "recorded_by")


def _readings_of(registration: str) -> QuerySet[UtilisationReading]:
    return readings_shown().filter(aircraft=aircraft_of(registration))


def _read_from(day: date) -> Q:
    return Q(read_at__gte=datetime.combine(day, time.min, UTC))


def _read_until(day: date) -> Q:
    return Q(read_at__lt=datetime.combine(day + timedelta(days=1), time.min, UTC))


class Readings(Door):
    get = listed(
        "list_readings",
        tag="Aircraft",
        summary="Readings of one aircraft",
        description="Totals as read, latest first; late, corrected and not conforming ones too.",
        shows=responses.ReadingShown,
        example=examples.READING,
        rows=_readings_of,
        order=("-read_at", "-pk"),
        asks=responses.ReadingsAsked,
        by={"measure": "measure__code", "from_on": _read_from, "until_on": _read_until},
    )


def _reading_shown(made: Recorded) -> UtilisationReading:
    return readings_shown().get(pk=made.id)


def checks_shown() -> QuerySet[Check]:
    return Check.objects.select_related("aircraft", "station")


def _checks_of(registration: str) -> QuerySet[Check]:
    return checks_shown().filter(aircraft=aircraft_of(registration))


class Checks(Door):
    get = listed(
        "list_checks",
        tag="Aircraft",
        summary="Checks of one aircraft",
        description="Planned ground times and overnight stops by their first day, cancelled ones too.",
        shows=responses.CheckShown,
        example=examples.CHECK,
        rows=_checks_of,
        order=("starts_on", "pk"),
        asks=responses.ChecksAsked,
        by={"from_on": "ends_on__gte", "is_cancelled": "is_cancelled"},
    )


def _check_shown(made: Recorded) -> Check:
    return checks_shown().get(pk=made.id)


def _of_aircraft(values: Mapping[str, Any]) -> dict[str, Any]:
    """What was said, of the aircraft in the address."""
    said = {name: value for name, value in values.items() if name != "registration"}
    return {**said, "aircraft_id": aircraft_of(values["registration"]).pk}


def _read_of_aircraft(values: Mapping[str, Any]) -> dict[str, Any]:
    """The same of a reading: a day alone ends where the aircraft is based, as its sheet has it."""
    said = _of_aircraft(values)
    if said["is_date_only"]:
        based = ZoneInfo(aircraft_of(values["registration"]).station.time_zone)
        said["read_at"] = end_of(said["read_at"].astimezone(zone()).date(), based)
    return said


urlpatterns = [
    path("v1/stations", Stations.as_view(), name="api-stations"),
    path("v1/measures", Measures.as_view(), name="api-measures"),
    path("v1/aircraft", AircraftList.as_view(), name="api-aircraft-list"),
    path("v1/aircraft/<str:registration>", AircraftOne.as_view(), name="api-aircraft"),
    act_path(
        RECORD_READING,
        act_door(
            RECORD_READING,
            responses.ReadingSent,
            responses.ReadingShown,
            examples.READING,
            shown=_reading_shown,
            base=Readings,
            look_up=aircraft_of,
            find=_read_of_aircraft,
        ),
        "api-readings",
    ),
    act_path(
        PLAN_CHECK,
        act_door(
            PLAN_CHECK,
            responses.CheckSent,
            responses.CheckShown,
            examples.CHECK,
            shown=_check_shown,
            base=Checks,
            look_up=aircraft_of,
            find=_of_aircraft,
        ),
        "api-checks",
    ),
    act_path(
        RECORD_STATUS,
        act_door(
            RECORD_STATUS,
            act_request_of(RECORD_STATUS, "StatusSent"),
            responses.StatusShown,
            examples.STATUS,
            look_up=aircraft_of,
            find=_of_aircraft,
        ),
        "api-aircraft-statuses",
    ),
    act_path(
        CHANGE_CHECK,
        act_door(
            CHANGE_CHECK,
            act_request_of(CHANGE_CHECK, "CheckChangeSent"),
            responses.CheckShown,
            examples.CHECK,
            shown=lambda made: checks_shown().get(pk=made.pk),
        ),
        "api-check-changes",
    ),
]
