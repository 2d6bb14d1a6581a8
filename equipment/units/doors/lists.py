"""The equipment's doors for programs: units, their history, their papers."""

from __future__ import annotations

from django.db.models import Q, QuerySet
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors import examples, responses
from equipment.ledger.on_aircraft import fitted_at
from equipment.models import Movement, Place, Unit
from equipment.units.cylinder import Cylinder, cylinder_of
from equipment.units.doors.responses import (
    CYLINDER,
    CylinderShown,
    FittedAsked,
    FittedShown,
    InServiceAsked,
    InServiceShown,
    PapersShown,
    UnitsAsked,
)
from equipment.units.ports import life_totals_of
from fleet.aircraft.doors import aircraft_of
from fleet.doors.door import Door, found_or_missing
from fleet.doors.lists import in_capitals, listed
from fleet.doors.schema import described
from fleet.house.pages import today

IN_SERVICE = {
    "on": "2024-03-03",
    "minutes": 512_400,
    "cycles": 6120,
    "lacks": "",
    "overhaul": {
        "on": "2023-02-01",
        "words": "Form 1 C-533, Lee Shore Overhaul, 1 Feb 2023",
        "minutes": 21_600,
        "cycles": 240,
        "lacks": "",
    },
}


def units_shown() -> QuerySet[Unit]:
    return Unit.objects.select_related(*responses.UNIT_COLUMNS)


def unit_of(unit_id: int) -> Unit:
    """The unit of an address, or a problem that says so."""
    found: Unit = found_or_missing(
        units_shown(),
        "unknown_unit",
        f"No unit has the id {unit_id}. Look it up by part and serial number: /api/v1/units.",
        pk=unit_id,
    )
    return found


def _in_stores_at(station: str) -> Q:
    stores = (Place.STORE, Place.QUARANTINE)
    return Q(place__station__code=station.upper(), place__sort__in=stores)


class Units(Door):
    get = listed(
        "list_units",
        tag="Units",
        summary="Units",
        description="Units and lots in the order of their receipt, narrowed by what they are and where.",
        shows=responses.UnitShown,
        example=examples.UNIT,
        rows=units_shown,
        order=("pk",),
        asks=UnitsAsked,
        by={
            "aircraft": in_capitals("aircraft__registration"),
            "station": _in_stores_at,
            "place": "place__sort",
            "serial_number": in_capitals("serial_number"),
            "part_number": in_capitals("part_number__number"),
            "kind": "part_number__kind__code",
        },
    )


class UnitOne(Door):
    @described(
        tag="Units",
        name="get_unit",
        summary="One unit",
        description="What a unit is and where. Its limits: `/units/{id}/due-items`.",
        answer=responses.UnitShown,
        example=examples.UNIT,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        return Response(responses.UnitShown(unit_of(unit_id)).data)


class UnitInService(Door):
    @described(
        tag="Units",
        name="get_unit_in_service",
        summary="Hours and cycles of a unit",
        description="Hours and cycles since new and since the last overhaul, reckoned to the end of a day: what "
        "was stated last, and what was flown on aircraft since.",
        query=InServiceAsked,
        answer=InServiceShown,
        example=IN_SERVICE,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        unit = unit_of(unit_id)
        on = self.asked(InServiceAsked).get("on") or today()
        return Response(InServiceShown(life_totals_of([unit.pk], on)[unit.pk]).data)


def _movements_of(unit_id: int) -> QuerySet[Movement]:
    rows = Movement.objects.select_related(*responses.MOVEMENT_COLUMNS)
    return rows.filter(unit=unit_of(unit_id))


class UnitMovements(Door):
    get = listed(
        "list_movements_of_unit",
        tag="Units",
        summary="Movements of one unit",
        description="Its whole history, latest first; corrected, annulled and not conforming ones too.",
        shows=responses.MovementShown,
        example=examples.MOVEMENT,
        rows=_movements_of,
        order=("-happened_at", "-day_order", "-pk"),
    )


class UnitCylinder(Door):
    @described(
        tag="Units",
        name="get_cylinder_of_unit",
        summary="A unit as a cylinder",
        description="Its own specification, pressures, marks and requalifier, what of that is not on record, and "
        "the published periods that its specification and marks lead to; confirm them with the approved data.",
        answer=CylinderShown,
        example=CYLINDER,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        found = cylinder_of(unit_of(unit_id)) or Cylinder(None, (), ())
        return Response(CylinderShown(found).data)


class UnitPapers(Door):
    @described(
        tag="Units",
        name="get_papers_of_unit",
        summary="Papers of one unit",
        description="Certificates, life statements, title and identifications, latest first.",
        answer=PapersShown,
        example=examples.PAPERS,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        unit = unit_of(unit_id)
        papers = {
            "certificates": unit.certificates.order_by("-issued_on", "-pk"),
            "life_statements": unit.life_statements.select_related("measure").order_by(
                "-stated_on", "-pk"
            ),
            "titles": unit.titles.order_by("-from_on", "-pk"),
            "identifications": unit.identifications.select_related(
                "part_number", "standard"
            ).order_by("-from_on", "-pk"),
        }
        return Response(PapersShown(papers).data)


class Fitted(Door):
    @described(
        tag="Aircraft",
        name="get_fitted",
        summary="What is, or was, fitted to one aircraft",
        description="The whole fitted list, nested, at any instant and as the records then said: "
        "*what was fitted on 3 March* and *what did our records say on 3 March*.",
        query=FittedAsked,
        answer=FittedShown,
        example=examples.FITTED,
    )
    def get(self, request: Request, registration: str) -> Response:
        aircraft, asked = aircraft_of(registration), self.asked(FittedAsked)
        at, known_at = asked.get("at") or timezone.now(), asked.get("known_at")
        rows = fitted_at(aircraft.pk, at=at, known_at=known_at)
        shown = {"aircraft": aircraft.registration, "at": at, "known_at": known_at, "fitted": rows}
        return Response(FittedShown(shown).data)
