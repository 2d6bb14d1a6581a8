"""What the doors of units are asked for and show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.responses import (
    CertificateShown,
    IdentificationShown,
    LifeStatementShown,
    TitleShown,
)
from equipment.models import Place
from fleet.doors.door import Paged
from fleet.doors.fields import Instant, Shape, StrictText


class UnitsAsked(Paged):
    serial_number = StrictText(required=False, max_length=40, help_text="Exactly, in any case.")
    part_number = StrictText(required=False, max_length=40, help_text="The current part number.")
    kind = StrictText(required=False, max_length=24, help_text="A kind's code.")
    aircraft = StrictText(
        required=False, max_length=10, help_text="On it, at any depth: a registration."
    )
    station = StrictText(
        required=False, max_length=8, help_text="In its store or quarantine: a code."
    )
    place = serializers.ChoiceField(Place.SORTS, required=False, help_text="The sort of place.")


class PapersShown(serializers.Serializer[Any]):
    """All papers of a unit, latest first."""

    certificates = CertificateShown(many=True)
    life_statements = LifeStatementShown(many=True)
    titles = TitleShown(many=True)
    identifications = IdentificationShown(many=True)


class FittedAsked(Shape):
    at = Instant(required=False, help_text="What was fitted at this instant; now unless given.")
    known_at = Instant(
        required=False,
        help_text="As our records said at this instant; as they say now unless given.",
    )


class FittedRowShown(serializers.Serializer[Any]):
    """A unit at a position of the aircraft (depth 0), or inside the one above it in the list."""

    position = serializers.CharField(source="place_code")
    depth = serializers.IntegerField()
    unit = serializers.IntegerField(source="unit_id")
    part_number = serializers.CharField()
    serial_number = serializers.CharField()
    description = serializers.CharField()
    since = serializers.DateField()


class FittedShown(serializers.Serializer[Any]):
    aircraft = serializers.CharField()
    at = Instant(read_only=True)
    known_at = Instant(read_only=True, allow_null=True)
    fitted = FittedRowShown(many=True)
