"""What the equipment's doors show of units, where they are and what was said of them."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.fields import empty

from equipment.models import (
    Certificate,
    Identification,
    LifeStatement,
    Movement,
    Place,
    Title,
    Unit,
)
from fleet.doors.fields import StrictInteger
from fleet.doors.rows import RowShown


class UnitKey(StrictInteger):
    """The id of a unit on record."""

    def __init__(self, **options: Any) -> None:
        super().__init__(least=1, **options)

    def run_validation(self, data: Any = empty) -> Any:
        key = super().run_validation(data)
        if key is not None and not Unit.objects.filter(pk=key).exists():
            raise serializers.ValidationError(
                f"No unit has the id {key}. Look it up by part and serial number: /api/v1/units.",
                "unknown_unit",
            )
        return key


class PlaceShown(serializers.Serializer[Any]):
    """Where a unit is; what does not belong to the sort of place is null."""

    sort = serializers.ChoiceField(Place.SORTS)
    aircraft = serializers.CharField(
        source="aircraft_position.aircraft.registration", default=None, allow_null=True
    )
    position = serializers.SerializerMethodField(help_text="A position's code.")
    inside_unit = serializers.IntegerField(
        source="around_id", allow_null=True, help_text="The id of the unit around it."
    )
    station = serializers.CharField(source="station.code", default=None, allow_null=True)
    name = serializers.CharField(help_text="Of the shop, the party, or how it is gone.")

    def get_position(self, place: Place) -> str | None:
        if place.aircraft_position is not None:
            return place.aircraft_position.type_position.code
        return place.part_position.code if place.part_position is not None else None


PLACE_COLUMNS = (
    "aircraft_position__aircraft",
    "aircraft_position__type_position",
    "part_position",
    "parent_unit",
    "station",
)


def with_place(at: str) -> tuple[str, ...]:
    """What ``select_related`` needs so that a place is shown without a further query."""
    return (at, *(f"{at}__{column}" for column in PLACE_COLUMNS))


class UnitShown(RowShown):
    of = Unit
    shows = """
        id part_number.number serial_number standard.code manufactured_on
        manufactured_precision stated_life_months quantity merged_into
    """
    told = {
        "part_number": "The current one.",
        "manufactured_precision": "day, month or year.",
        "quantity": "Over one only of a lot.",
        "merged_into": "The unit that this one turned out to be.",
    }
    original_part_number = serializers.CharField(source="original_part.number")
    maker = serializers.CharField(source="original_part.maker.code")
    description = serializers.CharField(source="part_number.description")
    kind = serializers.CharField(source="part_number.kind.code")
    place = PlaceShown(allow_null=True)


UNIT_COLUMNS = (
    "part_number__kind",
    "original_part__maker",
    "standard",
    *with_place("place"),
)


class MovementShown(RowShown):
    of = Movement
    shows = """
        id unit sort happened_at precision zone day_order aircraft_minutes aircraft_cycles
        log_page document reason quantity corrects corrected_by.pk is_conforming act_id
        recorded_at recorded_by.username
    """
    told = {
        "precision": "instant, day, month, year, or by: there on or before that day.",
        "corrected_by": "The later one that holds.",
    }
    to_place = PlaceShown()
    is_annulled = serializers.SerializerMethodField()
    reasons = serializers.ListField(child=serializers.JSONField())

    def get_is_annulled(self, movement: Any) -> bool:
        return hasattr(movement, "annulment")


MOVEMENT_COLUMNS = ("corrected_by", "annulment", "recorded_by", *with_place("to_place"))


class CertificateShown(RowShown):
    of = Certificate
    shows = (
        "id form tracking_number issued_on issuer status remarks covers approval_number signatory"
        " printed_serial"
    )


class LifeStatementShown(RowShown):
    of = LifeStatement
    shows = "id measure.code stated_on total since source quality corrects"
    told = {"since": "new, or overhaul."}
    unit = serializers.CharField(source="measure.unit", help_text="minutes, or count.")


class TitleShown(RowShown):
    of = Title
    shows = "sort owner from_on return_by core_due_on customs restriction document"


class IdentificationShown(RowShown):
    of = Identification
    shows = "part_number.number standard.code from_on document"
