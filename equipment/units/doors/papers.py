"""Doors of what is said of units: life statements, certificates, title, sightings."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers

from equipment.common.doors import examples, responses
from equipment.common.doors.requests import PlaceSent, WhenSent
from equipment.keeping.papers import RECORD_CERTIFICATE, RECORD_LIFE_STATEMENT, RECORD_TITLE
from equipment.models import Certificate, LifeStatement, Sighting, Title
from equipment.units.acts.sightings import RECORD_SIGHTING
from fleet.acts.act import Act
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door
from fleet.doors.fields import Shape
from fleet.doors.lists import listed
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown


class SightingShown(RowShown):
    of = Sighting
    shows = """
        id seen_at precision unit part_number_read serial_number_read expiry_read gauge_read
        pin_read note reconciles reconciled_by.pk act_id recorded_at
    """
    place = responses.PlaceShown(allow_null=True)


def sightings_shown() -> Any:
    return Sighting.objects.select_related("reconciled_by", *responses.with_place("place"))


class Sightings(Door):
    get = listed(
        "list_sightings",
        tag="Papers",
        summary="Sightings",
        description="What was read on units in their places, the latest recorded first.",
        shows=SightingShown,
        example=examples.SIGHTING,
        rows=sightings_shown,
        order=("-pk",),
    )


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
