"""The fleet's doors for programs: stations, measures, aircraft, readings, checks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, time, timedelta
from typing import Any

from django.db.models import QuerySet
from django.urls import path
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.acts.repeats import Recorded
from fleet.aircraft.acts.checks import PLAN_CHECK
from fleet.doors import examples
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.schema import described, page_of
from fleet.models import Aircraft, AircraftPosition, Check, Measure, Station, UtilisationReading
from fleet.utilisation.acts.readings import RECORD_READING

from . import responses


def aircraft_of(registration: str) -> Aircraft:
    """The aircraft of an address, or a problem that says so."""
    found: Aircraft = found_or_missing(
        Aircraft.objects.select_related("aircraft_type", "station"),
        "unknown_aircraft",
        f"No aircraft has the registration {registration[:20]!r}. See /api/v1/aircraft for those on record.",
        registration=registration.upper(),
    )
    return found


class Stations(Door):
    @described(
        tag="Fleet",
        name="list_stations",
        summary="Stations",
        description="Airports and hangars, each with its zone of time and what it is able to do.",
        query=Paged,
        answer=page_of(responses.StationShown),
        example={"next": None, "results": [examples.STATION]},
    )
    def get(self, request: Request) -> Response:
        return self.page(
            Station.objects.all(), ("code", "pk"), responses.StationShown, self.asked(Paged)
        )


class Measures(Door):
    @described(
        tag="Fleet",
        name="list_measures",
        summary="Measures",
        description="What is counted: flight hours, flight cycles, fillings, hours of use.",
        query=Paged,
        answer=page_of(responses.MeasureShown),
        example={"next": None, "results": [examples.MEASURE]},
    )
    def get(self, request: Request) -> Response:
        return self.page(
            Measure.objects.all(), ("code", "pk"), responses.MeasureShown, self.asked(Paged)
        )


class AircraftList(Door):
    @described(
        tag="Aircraft",
        name="list_aircraft",
        summary="Aircraft",
        description="The operator's aircraft by registration, with their latest status and station.",
        query=responses.AircraftAsked,
        answer=page_of(responses.AircraftShown),
        example={"next": None, "results": [examples.AIRCRAFT]},
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(responses.AircraftAsked)
        rows = Aircraft.objects.select_related("aircraft_type", "station")
        columns = {
            "station": "station__code",
            "aircraft_type": "aircraft_type__code",
            "status": "status",
        }
        rows = rows.filter(
            **{column: asked[name] for name, column in columns.items() if name in asked}
        )
        return self.page(rows, ("registration", "pk"), responses.AircraftShown, asked)


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
        return Response(responses.AircraftInFull(aircraft).data)


def readings_shown() -> QuerySet[UtilisationReading]:
    return UtilisationReading.objects.select_related("measure", "recorded_by")


class Readings(Door):
    @described(
        tag="Aircraft",
        name="list_readings",
        summary="Readings of one aircraft",
        description="Totals as read, latest first; late, corrected and not conforming ones too.",
        query=responses.ReadingsAsked,
        answer=page_of(responses.ReadingShown),
        example={"next": None, "results": [examples.READING]},
    )
    def get(self, request: Request, registration: str) -> Response:
        asked = self.asked(responses.ReadingsAsked)
        rows = readings_shown().filter(aircraft=aircraft_of(registration))
        if "measure" in asked:
            rows = rows.filter(measure__code=asked["measure"])
        if "from_on" in asked:
            rows = rows.filter(read_at__gte=datetime.combine(asked["from_on"], time.min, UTC))
        if "until_on" in asked:
            day_after = asked["until_on"] + timedelta(days=1)
            rows = rows.filter(read_at__lt=datetime.combine(day_after, time.min, UTC))
        return self.page(rows, ("-read_at", "-pk"), responses.ReadingShown, asked)


def _reading_shown(made: Recorded) -> UtilisationReading:
    return readings_shown().get(pk=made.id)


class Checks(Door):
    @described(
        tag="Aircraft",
        name="list_checks",
        summary="Checks of one aircraft",
        description="Planned ground times and overnight stops by their first day, cancelled ones too.",
        query=responses.ChecksAsked,
        answer=page_of(responses.CheckShown),
        example={"next": None, "results": [examples.CHECK]},
    )
    def get(self, request: Request, registration: str) -> Response:
        asked = self.asked(responses.ChecksAsked)
        rows = Check.objects.filter(aircraft=aircraft_of(registration))
        rows = rows.select_related("aircraft", "station")
        if "from_on" in asked:
            rows = rows.filter(ends_on__gte=asked["from_on"])
        if "is_cancelled" in asked:
            rows = rows.filter(is_cancelled=asked["is_cancelled"])
        return self.page(rows, ("starts_on", "pk"), responses.CheckShown, asked)


def _check_shown(made: Recorded) -> Check:
    return Check.objects.select_related("aircraft", "station").get(pk=made.id)


def _of_aircraft(values: Mapping[str, Any]) -> dict[str, Any]:
    """What was said, of the aircraft in the address."""
    said = {name: value for name, value in values.items() if name != "registration"}
    return {**said, "aircraft_id": aircraft_of(values["registration"]).pk}


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
            find=_of_aircraft,
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
]
