"""The fleet's doors for programs: stations, measures, aircraft, readings, checks."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

from django.db.models import QuerySet
from rest_framework.request import Request
from rest_framework.response import Response

from . import api_serializers as shapes
from .api_doors import Door, Paged, found_or_missing
from .api_schema import described, page_of
from .models import Aircraft, AircraftPosition, Check, Measure, Station, UtilisationReading

AIRCRAFT_EXAMPLE = {
    "registration": "Q-AVEN",
    "msn": "1042",
    "aircraft_type": "TERN-200",
    "status": "in_service",
    "station": "LYD",
    "manufactured_on": "2014-05-20",
}
POSITION_EXAMPLE = {
    "code": "D1L-SLIDE",
    "name": "Door 1 left slide",
    "kind": "door-slide",
    "zone": "211",
    "access_group": "D1L",
    "side": "left",
    "capacity": 1,
    "is_active": True,
}
STATION_EXAMPLE = {
    "code": "LYD",
    "name": "Lydmouth",
    "time_zone": "Europe/London",
    "is_maintenance_base": True,
    "abilities": ["overhaul"],
}
MEASURE_EXAMPLE = {
    "code": "hours",
    "name": "Flight hours",
    "unit": "minutes",
    "counted_on": "aircraft",
}


def aircraft_of(registration: str) -> Aircraft:
    """The aircraft of an address, or a problem that says so."""
    found: Aircraft = found_or_missing(
        Aircraft.objects.select_related("aircraft_type", "station"),
        "unknown_registration",
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
        answer=page_of(shapes.StationShown),
        example={"next": None, "results": [STATION_EXAMPLE]},
    )
    def get(self, request: Request) -> Response:
        return self.page(
            Station.objects.all(), ("code", "pk"), shapes.StationShown, self.asked(Paged)
        )


class Measures(Door):
    @described(
        tag="Fleet",
        name="list_measures",
        summary="Measures",
        description="What is counted: flight hours, flight cycles, fillings, hours of use.",
        query=Paged,
        answer=page_of(shapes.MeasureShown),
        example={"next": None, "results": [MEASURE_EXAMPLE]},
    )
    def get(self, request: Request) -> Response:
        return self.page(
            Measure.objects.all(), ("code", "pk"), shapes.MeasureShown, self.asked(Paged)
        )


class AircraftList(Door):
    @described(
        tag="Aircraft",
        name="list_aircraft",
        summary="Aircraft",
        description="The operator's aircraft by registration, with their latest status and station.",
        query=shapes.AircraftAsked,
        answer=page_of(shapes.AircraftShown),
        example={"next": None, "results": [AIRCRAFT_EXAMPLE]},
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(shapes.AircraftAsked)
        rows = Aircraft.objects.select_related("aircraft_type", "station")
        columns = {
            "station": "station__code",
            "aircraft_type": "aircraft_type__code",
            "status": "status",
        }
        rows = rows.filter(
            **{column: asked[name] for name, column in columns.items() if name in asked}
        )
        return self.page(rows, ("registration", "pk"), shapes.AircraftShown, asked)


class AircraftOne(Door):
    @described(
        tag="Aircraft",
        name="get_aircraft",
        summary="One aircraft",
        description="One aircraft with the positions that it has.",
        answer=shapes.AircraftInFull,
        example={**AIRCRAFT_EXAMPLE, "positions": [POSITION_EXAMPLE]},
    )
    def get(self, request: Request, registration: str) -> Response:
        aircraft = aircraft_of(registration)
        aircraft.positions_in_order = (  # type: ignore[attr-defined]
            AircraftPosition.objects.filter(aircraft=aircraft)
            .select_related("type_position__kind")
            .order_by("type_position__code", "pk")
        )
        return Response(shapes.AircraftInFull(aircraft).data)


READING_EXAMPLE = {
    "id": 40213,
    "measure": "hours",
    "unit": "minutes",
    "total": 740730,
    "read_at": "2027-03-03T23:59:00Z",
    "is_date_only": True,
    "source": "tech log 4711",
    "corrects": None,
    "is_annulment": False,
    "is_conforming": True,
    "reasons": [],
    "act_id": "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c11",
    "recorded_at": "2027-03-04T06:12:00Z",
    "recorded_by": "m.arden",
}
CHECK_EXAMPLE = {
    "id": 77,
    "aircraft": "Q-AVEN",
    "name": "C4",
    "sort": "check",
    "starts_on": "2027-06-07",
    "ends_on": "2027-06-18",
    "station": "LYD",
    "abilities": [],
    "is_cancelled": False,
}


def readings_shown() -> QuerySet[UtilisationReading]:
    return UtilisationReading.objects.select_related("measure", "recorded_by")


class Readings(Door):
    @described(
        tag="Aircraft",
        name="list_readings",
        summary="Readings of one aircraft",
        description="Totals as read, latest first; late, corrected and not conforming ones too.",
        query=shapes.ReadingsAsked,
        answer=page_of(shapes.ReadingShown),
        example={"next": None, "results": [READING_EXAMPLE]},
    )
    def get(self, request: Request, registration: str) -> Response:
        asked = self.asked(shapes.ReadingsAsked)
        rows = readings_shown().filter(aircraft=aircraft_of(registration))
        if "measure" in asked:
            rows = rows.filter(measure__code=asked["measure"])
        if "from_on" in asked:
            rows = rows.filter(read_at__gte=datetime.combine(asked["from_on"], time.min, UTC))
        if "until_on" in asked:
            day_after = asked["until_on"] + timedelta(days=1)
            rows = rows.filter(read_at__lt=datetime.combine(day_after, time.min, UTC))
        return self.page(rows, ("-read_at", "-pk"), shapes.ReadingShown, asked)


class Checks(Door):
    @described(
        tag="Aircraft",
        name="list_checks",
        summary="Checks of one aircraft",
        description="Planned ground times and overnight stops by their first day, cancelled ones too.",
        query=shapes.ChecksAsked,
        answer=page_of(shapes.CheckShown),
        example={"next": None, "results": [CHECK_EXAMPLE]},
    )
    def get(self, request: Request, registration: str) -> Response:
        asked = self.asked(shapes.ChecksAsked)
        rows = Check.objects.filter(aircraft=aircraft_of(registration))
        rows = rows.select_related("aircraft", "station")
        if "from_on" in asked:
            rows = rows.filter(ends_on__gte=asked["from_on"])
        if "is_cancelled" in asked:
            rows = rows.filter(is_cancelled=asked["is_cancelled"])
        return self.page(rows, ("starts_on", "pk"), shapes.CheckShown, asked)
