"""What the equipment's doors show of units, where they are and what was said of them."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.fields import empty

from equipment.models import Place, Unit
from fleet.doors.fields import Instant, StrictInteger


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


class UnitShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    part_number = serializers.CharField(source="part_number.number", help_text="The current one.")
    serial_number = serializers.CharField()
    original_part_number = serializers.CharField(source="original_part.number")
    maker = serializers.CharField(source="original_part.maker.code")
    description = serializers.CharField(source="part_number.description")
    kind = serializers.CharField(source="part_number.kind.code")
    standard = serializers.CharField(source="standard.code", default=None, allow_null=True)
    manufactured_on = serializers.DateField(allow_null=True)
    manufactured_precision = serializers.CharField(help_text="day, month or year.")
    stated_life_months = serializers.IntegerField(allow_null=True)
    quantity = serializers.IntegerField(help_text="Over one only of a lot.")
    merged_into = serializers.IntegerField(
        source="merged_into_id",
        allow_null=True,
        help_text="The unit that this one turned out to be.",
    )
    place = PlaceShown(allow_null=True)


UNIT_COLUMNS = (
    "part_number__kind",
    "original_part__maker",
    "standard",
    *with_place("place"),
)


class MovementShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    unit = serializers.IntegerField(source="unit_id")
    sort = serializers.CharField()
    to_place = PlaceShown()
    happened_at = Instant(read_only=True)
    precision = serializers.CharField(help_text="instant, day, month or year.")
    zone = serializers.CharField()
    day_order = serializers.IntegerField()
    aircraft_minutes = serializers.IntegerField(allow_null=True)
    aircraft_cycles = serializers.IntegerField(allow_null=True)
    log_page = serializers.CharField()
    document = serializers.CharField()
    reason = serializers.CharField()
    quantity = serializers.IntegerField()
    corrects = serializers.IntegerField(source="corrects_id", allow_null=True)
    corrected_by = serializers.IntegerField(
        source="corrected_by.pk",
        default=None,
        allow_null=True,
        help_text="The later one that holds.",
    )
    is_annulled = serializers.SerializerMethodField()
    is_conforming = serializers.BooleanField()
    reasons = serializers.ListField(child=serializers.JSONField())
    act_id = serializers.UUIDField()
    recorded_at = Instant(read_only=True)
    recorded_by = serializers.CharField(
        source="recorded_by.username", default=None, allow_null=True
    )

    def get_is_annulled(self, movement: Any) -> bool:
        return hasattr(movement, "annulment")


MOVEMENT_COLUMNS = ("corrected_by", "annulment", "recorded_by", *with_place("to_place"))


class CertificateShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    form = serializers.CharField()
    tracking_number = serializers.CharField()
    issued_on = serializers.DateField()
    issuer = serializers.CharField()
    status = serializers.CharField()
    remarks = serializers.CharField()


class LifeStatementShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    measure = serializers.CharField(source="measure.code")
    unit = serializers.CharField(source="measure.unit", help_text="minutes, or count.")
    stated_on = serializers.DateField()
    total = serializers.IntegerField()
    since = serializers.CharField(help_text="new, or overhaul.")
    source = serializers.CharField()  # type: ignore[assignment]
    quality = serializers.CharField()
    corrects = serializers.IntegerField(source="corrects_id", allow_null=True)


class TitleShown(serializers.Serializer[Any]):
    sort = serializers.CharField()
    owner = serializers.CharField()
    from_on = serializers.DateField()
    return_by = serializers.DateField(allow_null=True)
    core_due_on = serializers.DateField(allow_null=True)
    customs = serializers.CharField()
    restriction = serializers.CharField()
    document = serializers.CharField()


class IdentificationShown(serializers.Serializer[Any]):
    part_number = serializers.CharField(source="part_number.number")
    standard = serializers.CharField(source="standard.code", default=None, allow_null=True)
    from_on = serializers.DateField()
    document = serializers.CharField()
