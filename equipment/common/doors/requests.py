"""What the doors of movements and units take."""

from __future__ import annotations

from datetime import date
from typing import Any
from zoneinfo import available_timezones

from rest_framework import serializers

from equipment.ledger.facts import PlaceAt, When
from equipment.models import (
    Identification,
    ModificationStandard,
    PartNumber,
    PartPosition,
    Place,
    Unit,
)
from fleet.doors.fields import DayOrMonth, Instant, KeyOf, Shape, StrictText
from fleet.models import Aircraft, AircraftPosition, Station

from .responses import UnitKey

COUNT = 2**31 - 1
ZONES = sorted(available_timezones())


def at_field(field: str, code: str, sentence: str) -> serializers.ValidationError:
    return serializers.ValidationError({field: [serializers.ErrorDetail(sentence, code)]})


def part_named(number: str, maker: str | None, field: str = "part_number") -> PartNumber:
    """The part of this number, of this maker where more than one make it."""
    rows = PartNumber.objects.filter(number__iexact=number)
    if maker:
        rows = rows.filter(maker__code__iexact=maker)
    found = list(rows.order_by("pk")[:2])
    if not found:
        raise at_field(
            field, "unknown_part_number", f"No part number “{number[:40]}” is on record."
        )
    if len(found) > 1:
        raise at_field("maker", "maker_needed", "Several makers have this number: name the maker.")
    return found[0]


def standard_named(code: str | None, part: PartNumber) -> int | None:
    if not code:
        return None
    rows = ModificationStandard.objects.filter(part_number=part, code__iexact=code)
    key = rows.values_list("pk", flat=True).first()
    if key is None:
        raise at_field("standard", "unknown_standard", f"{part} has no standard “{code[:24]}”.")
    return key


class PlaceSent(Shape):
    """A place as it is shown: its sort, and what names a place of that sort."""

    sort = serializers.ChoiceField(Place.SORTS)
    aircraft = KeyOf(
        Aircraft,
        "registration",
        "aircraft",
        required=False,
        allow_null=True,
        default=None,
        max_length=10,
    )
    position = StrictText(required=False, allow_null=True, default=None, max_length=32)
    inside_unit = UnitKey(required=False, allow_null=True, default=None)
    station = KeyOf(
        Station, "code", "station", required=False, allow_null=True, default=None, max_length=8
    )
    name = StrictText(required=False, default="", allow_blank=True, max_length=80)

    def validate(self, attrs: dict[str, Any]) -> Any:
        sort = attrs["sort"]
        needed = {
            Place.AIRCRAFT: ("aircraft", "position"),
            Place.INSIDE: ("inside_unit", "position"),
            Place.STORE: ("station",),
            Place.QUARANTINE: ("station",),
            Place.SHOP: ("name",),
            Place.PARTY: ("name",),
        }
        for field in needed.get(sort, ()):
            if not attrs[field]:
                raise at_field(field, "required", f"A place that is {sort} needs its {field}.")
        if sort == Place.AIRCRAFT:
            key = _position_of_aircraft(attrs["aircraft"], attrs["position"])
            return PlaceAt(sort, aircraft_position_id=key)
        if sort == Place.INSIDE:
            key = _position_inside(attrs["inside_unit"], attrs["position"])
            return PlaceAt(sort, parent_unit_id=attrs["inside_unit"], part_position_id=key)
        return PlaceAt(sort, station_id=attrs["station"], name=attrs["name"])


def _position_of_aircraft(aircraft: int, code: str) -> int:
    rows = AircraftPosition.objects.filter(aircraft=aircraft, type_position__code__iexact=code)
    key = rows.values_list("pk", flat=True).first()
    if key is None:
        raise at_field("position", "unknown_position", "The aircraft has no position of this code.")
    return key


def _position_inside(unit: int, code: str) -> int:
    parts = Unit.objects.filter(pk=unit).values_list("part_number", "original_part")
    known = {part for pair in parts for part in pair}
    known |= set(Identification.objects.filter(unit=unit).values_list("part_number", flat=True))
    rows = PartPosition.objects.filter(part_number__in=known, code__iexact=code)
    key = rows.order_by("pk").values_list("pk", flat=True).first()
    if key is None:
        raise at_field("position", "unknown_position", "This unit has no position of this code.")
    return key


class WhenSent(Shape):
    """When: the day or month (`happened_on`), or the instant (`happened_at`)."""

    gives = ("when",)
    happened_on = DayOrMonth(required=False, help_text="The day, or the month alone.")
    happened_at = Instant(required=False)
    zone = StrictText(default="UTC", max_length=40, help_text="The station's: an IANA name.")

    def validate_zone(self, zone: str) -> str:
        if zone not in ZONES:
            raise serializers.ValidationError(
                "This is no zone of time. Give an IANA name, such as Europe/London.", "unknown_zone"
            )
        return zone

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if ("happened_on" in attrs) == ("happened_at" in attrs):
            raise at_field(
                "happened_on",
                "one_of_two",
                "Give either the day (happened_on) or the instant (happened_at).",
            )
        zone = attrs.pop("zone")
        if "happened_at" in attrs:
            attrs["when"] = When(attrs.pop("happened_at"), "instant", zone)
            return attrs
        given: tuple[date, str] = attrs.pop("happened_on")
        attrs["when"] = When.on(given[0], zone, given[1])
        return attrs
