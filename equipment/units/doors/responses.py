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
from fleet.doors.fields import Day, Instant, Shape, StrictText


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


class OverhaulShown(serializers.Serializer[Any]):
    """The last overhaul, and what was flown since."""

    on = serializers.DateField(
        allow_null=True, help_text="Null where only a statement tells of it."
    )
    words = serializers.CharField(help_text="The work or paper that says so.")
    minutes = serializers.IntegerField(allow_null=True)
    cycles = serializers.IntegerField(allow_null=True)
    lacks = serializers.CharField(
        help_text="For lack of what a total is not known; empty: nothing."
    )


class InServiceShown(serializers.Serializer[Any]):
    """Hours and cycles in service at the end of a day: null where they cannot be known."""

    on = serializers.DateField()
    minutes = serializers.IntegerField(allow_null=True, help_text="Since new.")
    cycles = serializers.IntegerField(allow_null=True, help_text="Since new.")
    lacks = serializers.CharField(
        help_text="For lack of what a total is not known; empty: nothing."
    )
    overhaul = OverhaulShown(allow_null=True, help_text="Null: no overhaul is on record.")


class InServiceAsked(Shape):
    on = Day(required=False, help_text="The day; today unless given.")


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


class PublishedShown(serializers.Serializer[Any]):
    """A published period: where a limit may begin, not what governs."""

    start = serializers.CharField(help_text="The starting point's name.")
    months = serializers.IntegerField(allow_null=True, help_text="Null: no test is asked for.")
    words = serializers.CharField()
    published_in = serializers.CharField(source="source")
    more = serializers.CharField()


class StampedShown(serializers.Serializer[Any]):
    specification = serializers.CharField()
    is_own = serializers.BooleanField(help_text="Read on the unit; else by its part number.")
    service_psig = serializers.FloatField(allow_null=True)
    test_psig = serializers.FloatField(allow_null=True)
    marks = serializers.ListField(child=serializers.CharField(), help_text="Of + ★ E.")
    requalifier = serializers.CharField()
    tested_on = serializers.DateField(allow_null=True, help_text="Of the last test on record.")
    read_on = serializers.DateField(allow_null=True)
    differs = serializers.CharField(help_text="Where its part number says another specification.")


class CylinderShown(serializers.Serializer[Any]):
    """All null and empty of a unit that nothing on record shows to be a cylinder."""

    stamped = StampedShown(allow_null=True)
    lacks = serializers.ListField(child=serializers.CharField(), help_text="Not on record of it.")
    published = PublishedShown(many=True, help_text="The one that its marks choose first.")


CYLINDER = {
    "stamped": {
        "specification": "3AA",
        "is_own": True,
        "service_psig": 1850.0,
        "test_psig": 3083.0,
        "marks": ["★"],
        "requalifier": "A123",
        "tested_on": "2023-09-01",
        "read_on": "2024-03-03",
        "differs": "",
    },
    "lacks": [],
    "published": [
        {
            "start": "cylinder-3a-star",
            "months": 120,
            "words": "every 10 years",
            "published_in": "49 CFR 180.209(b)",
            "more": "",
        }
    ],
}
