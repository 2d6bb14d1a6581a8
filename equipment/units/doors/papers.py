"""Doors of what is said of units: life statements, certificates, title, sightings."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors import examples, responses
from equipment.common.doors.requests import PlaceSent, WhenSent
from equipment.keeping.papers import RECORD_CERTIFICATE, RECORD_LIFE_STATEMENT, RECORD_TITLE
from equipment.models import Certificate, LifeStatement, Sighting, Title
from equipment.units.acts.sightings import RECORD_SIGHTING
from fleet.acts.act import Act
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged
from fleet.doors.fields import Instant, Shape
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described, page_of


class SightingShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    seen_at = Instant(read_only=True)
    precision = serializers.CharField()
    place = responses.PlaceShown(allow_null=True)
    unit = serializers.IntegerField(source="unit_id", allow_null=True)
    part_number_read = serializers.CharField()
    serial_number_read = serializers.CharField()
    expiry_read = serializers.DateField(allow_null=True)
    gauge_read = serializers.CharField()
    pin_read = serializers.CharField()
    note = serializers.CharField()
    reconciles = serializers.IntegerField(source="reconciles_id", allow_null=True)
    reconciled_by = serializers.IntegerField(
        source="reconciled_by.pk", default=None, allow_null=True
    )
    act_id = serializers.UUIDField()
    recorded_at = Instant(read_only=True)


def sightings_shown() -> Any:
    return Sighting.objects.select_related("reconciled_by", *responses.with_place("place"))


class Sightings(Door):
    @described(
        tag="Papers",
        name="list_sightings",
        summary="Sightings",
        description="What was read on units in their places, the latest recorded first.",
        query=Paged,
        answer=page_of(SightingShown),
        example={"next": None, "results": [examples.SIGHTING]},
    )
    def get(self, request: Request) -> Response:
        return self.page(sightings_shown(), ("-pk",), SightingShown, self.asked(Paged))


def a_paper(
    act: Act,
    takes: type[Shape],
    shows: type[serializers.Serializer[Any]],
    example: Any,
    rows: QuerySet[Any],
) -> type[Door]:
    """The door of a paper: what was entered is read again."""
    return act_door(act, takes, shows, example, shown=lambda made: rows.get(pk=made.id))


LifeStatementSent = act_request_of(
    RECORD_LIFE_STATEMENT,
    "LifeStatementSent",
    "A dated total of one measure of one unit; the same again is the same act.",
)
CertificateSent = act_request_of(
    RECORD_CERTIFICATE,
    "CertificateSent",
    "A release certificate or other paper; the same form and number again is the same act.",
)
TitleSent = act_request_of(
    RECORD_TITLE,
    "TitleSent",
    "Whose a unit is from a day on; the same day again is the same act.",
)
SightingSent = act_request_of(
    RECORD_SIGHTING,
    "SightingSent",
    "What was read on a unit in its place. It moves nothing.",
    base=WhenSent,
    place=PlaceSent(required=False, allow_null=True, default=None),
)
LifeStatementDoor = a_paper(
    RECORD_LIFE_STATEMENT,
    LifeStatementSent,
    responses.LifeStatementShown,
    examples.PAPERS["life_statements"][0],
    LifeStatement.objects.select_related("measure"),
)
CertificateDoor = a_paper(
    RECORD_CERTIFICATE,
    CertificateSent,
    responses.CertificateShown,
    examples.PAPERS["certificates"][0],
    Certificate.objects.all(),
)
TitleDoor = a_paper(
    RECORD_TITLE, TitleSent, responses.TitleShown, examples.TITLE, Title.objects.all()
)
SightingDoor = act_door(
    RECORD_SIGHTING,
    SightingSent,
    SightingShown,
    examples.SIGHTING,
    shown=lambda made: sightings_shown().get(pk=made.id),
    base=Sightings,
)

urlpatterns = [
    act_path(RECORD_LIFE_STATEMENT, LifeStatementDoor, "api-life-statements"),
    act_path(RECORD_CERTIFICATE, CertificateDoor, "api-certificates"),
    act_path(RECORD_TITLE, TitleDoor, "api-titles"),
    act_path(RECORD_SIGHTING, SightingDoor, "api-sightings"),
]
