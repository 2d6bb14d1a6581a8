"""The equipment's doors for programs: units, their history, their papers."""

from __future__ import annotations

from django.db.models import Q, QuerySet
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors import examples, responses
from equipment.ledger.on_aircraft import fitted_at
from equipment.models import Movement, Place, Unit
from equipment.units.doors.responses import FittedAsked, FittedShown, PapersShown, UnitsAsked
from fleet.aircraft.doors import aircraft_of
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.schema import described, page_of


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


def _place_asked(asked: dict[str, str]) -> Q:
    chosen = Q()
    if "aircraft" in asked:
        chosen &= Q(aircraft__registration=asked["aircraft"].upper())
    if "station" in asked:
        stores = (Place.STORE, Place.QUARANTINE)
        chosen &= Q(place__station__code=asked["station"].upper(), place__sort__in=stores)
    if "place" in asked:
        chosen &= Q(place__sort=asked["place"])
    return chosen


class Units(Door):
    @described(
        tag="Units",
        name="list_units",
        summary="Units",
        description="Units and lots in the order of their receipt, narrowed by what they are and where.",
        query=UnitsAsked,
        answer=page_of(responses.UnitShown),
        example={"next": None, "results": [examples.UNIT]},
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(UnitsAsked)
        rows = units_shown().filter(_place_asked(asked))
        if "serial_number" in asked:
            rows = rows.filter(serial_number=asked["serial_number"].upper())
        if "part_number" in asked:
            rows = rows.filter(part_number__number=asked["part_number"].upper())
        if "kind" in asked:
            rows = rows.filter(part_number__kind__code=asked["kind"])
        return self.page(rows, ("pk",), responses.UnitShown, asked)


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


class UnitMovements(Door):
    @described(
        tag="Units",
        name="list_movements_of_unit",
        summary="Movements of one unit",
        description="Its whole history, latest first; corrected, annulled and not conforming ones too.",
        query=Paged,
        answer=page_of(responses.MovementShown),
        example={"next": None, "results": [examples.MOVEMENT]},
    )
    def get(self, request: Request, unit_id: int) -> Response:
        unit = unit_of(unit_id)
        rows = Movement.objects.filter(unit=unit).select_related(*responses.MOVEMENT_COLUMNS)
        return self.page(
            rows, ("-happened_at", "-day_order", "-pk"), responses.MovementShown, self.asked(Paged)
        )


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
