"""Doors of the complement: the cabins on record, and what is asked of the one in force."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import QuerySet
from django.urls import path
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.models import Cabin
from fleet.aircraft.doors import aircraft_of
from fleet.doors.door import Door
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown
from fleet.doors.schema import described
from fleet.house.pages import today

from .reads import complement_of


class CabinShown(RowShown):
    of = Cabin
    shows = "id aircraft.registration from_on seats occupants is_overwater document"
    told = {"seats": "For passengers.", "occupants": "The most people on board."}


class RequirementShown(serializers.Serializer[Any]):
    kind = serializers.CharField()
    document = serializers.CharField()
    wanted = serializers.CharField(help_text="What is asked, in words.")
    there = serializers.CharField(help_text="What is on board, in words.")
    short = serializers.CharField(help_text="What is missing; empty where it is met.")
    is_met = serializers.BooleanField()


class ComplementShown(serializers.Serializer[Any]):
    """The cabin in force today, and what is asked of it."""

    cabin = CabinShown(allow_null=True)
    requirements = RequirementShown(many=True)


CABIN = {
    "id": 3,
    "aircraft": "Q-AVEN",
    "from_on": "2024-03-01",
    "seats": 186,
    "occupants": 194,
    "is_overwater": True,
    "document": "LOPA 25-10-04 revision B",
}
REQUIREMENT = {
    "kind": "Portable extinguisher",
    "document": "14 CFR 121.309(c)(5)",
    "wanted": "3 for 186 passenger seats",
    "there": "2 on board",
    "short": "1 short",
    "is_met": False,
}


def cabins_of(registration: str) -> QuerySet[Cabin]:
    return Cabin.objects.filter(aircraft=aircraft_of(registration)).select_related("aircraft")


class CabinList(Door):
    get = listed(
        "list_cabins",
        tag="Aircraft",
        summary="Cabins of one aircraft",
        description="What its cabin was from which day on, the latest first.",
        shows=CabinShown,
        example=CABIN,
        rows=cabins_of,
        order=("-from_on", "-pk"),
    )


class AircraftComplement(Door):
    @described(
        tag="Aircraft",
        name="get_complement",
        summary="Required complement of one aircraft",
        description="What its cabin asks for today, and whether what is on board meets it.",
        answer=ComplementShown,
        example={"cabin": CABIN, "requirements": [REQUIREMENT]},
    )
    def get(self, request: Request, registration: str) -> Response:
        return Response(ComplementShown(complement_of(aircraft_of(registration), today())).data)


def of_aircraft(values: Mapping[str, Any]) -> dict[str, Any]:
    """What was said, of the aircraft in the address."""
    said = {name: value for name, value in values.items() if name != "registration"}
    return {**said, "aircraft_id": aircraft_of(values["registration"]).pk}


urlpatterns = [
    path(
        "v1/aircraft/<str:registration>/complement",
        AircraftComplement.as_view(),
        name="api-complement",
    ),
]
