"""What the doors beside a swap take: tags, fillings, discharges, reservations, open items, walk-rounds."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.fields import empty

from equipment.availability.acts.fillings import Use
from equipment.common.files import FileSent
from equipment.common.requests import COUNT, PlaceSent, WhenSent, at_field
from equipment.common.responses import UnitKey
from equipment.findings.acts.open_items import Opening
from equipment.findings.walk.compare import Seen
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from equipment.models import Settlement
from equipment.procedures.doors.requests import Written
from equipment.swaps.acts.paper import Card, Ink
from equipment.swaps.doors.requests import ACT_ID, Act, FoundSent, TagSent
from fleet.doors.fields import Day, Instant, KeyOf, Shape, Truth, Whole, Words
from fleet.models import Aircraft, Station


def blank(most: int, **options: Any) -> Words:
    """A text that may be left out."""
    return Words(required=False, default="", allow_blank=True, max_length=most, **options)


@extend_schema_field({"oneOf": [{"type": "string"}, {"type": "number"}, {"type": "null"}]})
class Measured(Written):
    """A quantity with its unit or without, read in the unit that is kept; None if it is left out."""

    def __init__(self, unit: str, **options: Any) -> None:
        self.unit = unit
        more = {"required": False, "allow_null": True, "default": None, "max_length": 60}
        super().__init__(**{**more, **options})

    def run_validation(self, data: Any = empty) -> Any:
        text = super().run_validation(data)
        if text is None:
            return None
        found = read_quantity(text, self.unit, expected=self.unit)
        if isinstance(found, Problem):
            raise serializers.ValidationError(found.sentence, found.code)
        return float(found.value)


class TagDoorSent(TagSent):
    """A unit is tagged from a moment on."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    unit = UnitKey(help_text="A unit's id.")
    tagged_at = Instant()

    def validate(self, attrs: dict[str, Any]) -> Any:
        own = {name: attrs.pop(name) for name in ("act_id", "unit", "tagged_at")}
        tag = super().validate(attrs)
        return {"unit_id": own.pop("unit"), "tag": tag, **own}


class FillingSent(Shape):
    """A bottle was filled."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    unit = UnitKey(help_text="A unit's id.")
    done_on = Day()
    document = blank(80)
    pressure = Measured("psi", help_text="As read after it, such as 207 bar; without a unit: psi.")
    temperature = Measured("°F", help_text="Of the bottle then, such as 21 °C; without a unit: °F.")
    is_empty = Truth(default=False, help_text="It was found completely empty.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs["use"] = Use(
            attrs.pop("done_on"),
            attrs.pop("document"),
            attrs.pop("pressure"),
            attrs.pop("temperature"),
            attrs.pop("is_empty", False),
        )
        return {"unit_id": attrs.pop("unit"), **attrs}


class DischargeSent(FillingSent):
    """A slide was inflated, or a bottle discharged."""

    sort = serializers.ChoiceField(["inflation", "discharge"])
    words = Words(max_length=300, help_text="How it happened.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs["is_inflation"] = attrs.pop("sort") == "inflation"
        return super().validate(attrs)


class ReservationSent(Shape):
    """A unit to be set aside for a position and a day."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    unit = UnitKey(help_text="A unit's id.")
    place = PlaceSent(help_text="The position that it is for.")
    need_on = Day(help_text="The day of the need.")
    words = blank(200)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return {"unit_id": attrs.pop("unit"), **attrs}


class Nothing(Shape):
    """Nothing more is to be said."""


class OpenItemSent(Shape):
    """A position left open or a defect deferred: give the position, the swap, or the aircraft."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    aircraft = KeyOf(
        Aircraft,
        "registration",
        "aircraft",
        required=False,
        allow_null=True,
        default=None,
        max_length=10,
    )
    place = PlaceSent(required=False, allow_null=True, default=None)
    swap = Whole(required=False, allow_null=True, default=None, help_text="That left it open.")
    document = Words(max_length=80, help_text="Item and revision of the list used.")
    words = Words(max_length=200)
    category = blank(8)
    found_on = Day()
    expires_on = Day(help_text="The last day on which it may stay open.")
    repeat_actions = blank(200)
    effect = blank(200, help_text="Seats blocked, passenger limit.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        said = (
            "document",
            "words",
            "found_on",
            "expires_on",
            "category",
            "repeat_actions",
            "effect",
        )
        opening = Opening(**{name: attrs.pop(name) for name in said})
        return {
            "act_id": attrs["act_id"],
            "place": attrs["place"],
            "act": {"opening": opening, "aircraft_id": attrs["aircraft"], "swap_id": attrs["swap"]},
        }


class ClosingSent(Shape):
    """By which work an open item was closed."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    words = Words(max_length=200)
    closed_on = Day()


class WalkRoundSent(Shape):
    """A check of what is really there, of an aircraft or one of its zones."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    aircraft = KeyOf(Aircraft, "registration", "aircraft", max_length=10)
    zone = blank(16, help_text="Empty: the whole aircraft.")
    station = KeyOf(Station, "code", "station", max_length=8)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return {"aircraft_id": attrs.pop("aircraft"), "station_id": attrs.pop("station"), **attrs}


class LookSent(Act):
    """What was read at a position on a walk-round."""

    place = PlaceSent()
    part_number_read = blank(40)
    serial_number_read = blank(40)
    expiry_read = Day(required=False, allow_null=True, default=None)
    gauge_read = blank(40, help_text="A pressure with its unit, or in words.")
    pin_read = blank(40)
    note = blank(180)
    is_empty = Truth(default=False, help_text="Nothing (more) is there.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        act = {name: attrs.pop(name) for name in ("act_id", "sender_at", "place") if name in attrs}
        return {**act, "seen": Seen(**attrs)}


class SettlementSent(Shape):
    """How a discrepancy was settled, by which later fact."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    sort = serializers.ChoiceField(Settlement.SORTS)
    words = Words(max_length=400)
    movement = Whole(required=False, allow_null=True, default=None, help_text="A later one.")
    swap = Whole(required=False, allow_null=True, default=None, help_text="A later one.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        return {"movement_id": attrs.pop("movement"), "swap_id": attrs.pop("swap"), **attrs}


class AttachmentSent(Shape):
    """A photo or a page of a swap (and its step), of a sighting, or the scan of a certificate."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    file = FileSent()
    swap = Whole(required=False, allow_null=True, default=None)
    step = Whole(required=False, allow_null=True, default=None, help_text="The step's number.")
    sighting = Whole(required=False, allow_null=True, default=None)
    certificate = Whole(required=False, allow_null=True, default=None)


class InkSent(Shape):
    """Who signed on the paper, with which stamp, on which day."""

    signer = Words(max_length=120)
    stamp = blank(40)
    on = Day()

    def validate(self, attrs: dict[str, Any]) -> Any:
        return Ink(**attrs)


class CardSent(WhenSent):
    """A swap done on paper, as its card tells it. Units by id, or as their plates read."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    place = PlaceSent(help_text="The position.")
    station = KeyOf(Station, "code", "station", max_length=8, help_text="Where it was done.")
    reference = Words(max_length=80, help_text="The card's.")
    reason = Words(max_length=200)
    released = InkSent()
    inspected = InkSent(required=False, allow_null=True, default=None)
    page = FileSent(help_text="The page of the card.")
    off = UnitKey(required=False, allow_null=True, default=None, help_text="A unit's id.")
    off_found = FoundSent(required=False, allow_null=True, default=None)
    off_to = PlaceSent(required=False, allow_null=True, default=None)
    tag = TagSent(required=False, allow_null=True, default=None)
    on = UnitKey(required=False, allow_null=True, default=None, help_text="A unit's id.")
    on_found = FoundSent(required=False, allow_null=True, default=None)
    aircraft_minutes = Whole(required=False, allow_null=True, default=None, help_text="As read.")
    aircraft_cycles = Whole(required=False, allow_null=True, default=None, most=COUNT)
    log_page = blank(40)

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs = super().validate(attrs)
        for role in ("off", "on"):
            if attrs[role] is not None and attrs[f"{role}_found"] is not None:
                words = "Give the unit's id, or what its plate says: not both."
                raise at_field(f"{role}_found", "one_of_two", words)
        act_id = attrs.pop("act_id")
        named = {
            "off_id": "off",
            "on_id": "on",
            "station_id": "station",
            "minutes": "aircraft_minutes",
            "cycles": "aircraft_cycles",
        }
        renamed = {name: attrs.pop(sent) for name, sent in named.items()}
        return {"act_id": act_id, "card": Card(**renamed, **attrs)}
