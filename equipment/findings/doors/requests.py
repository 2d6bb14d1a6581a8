"""What the doors of findings take: open items, walk-rounds, settlements."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.fields import ACT_ID, Act, blank
from equipment.common.doors.requests import PlaceSent
from equipment.findings.acts.open_items import Opening
from equipment.findings.walk.compare import Seen
from equipment.models import Settlement
from fleet.doors.fields import Day, KeyOf, Shape, StrictBoolean, StrictInteger, StrictText
from fleet.models import Aircraft, Station


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
    swap = StrictInteger(
        required=False, allow_null=True, default=None, help_text="That left it open."
    )
    document = StrictText(max_length=80, help_text="Item and revision of the list used.")
    words = StrictText(max_length=200)
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
    words = StrictText(max_length=200)
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
    is_empty = StrictBoolean(default=False, help_text="Nothing (more) is there.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        act = {name: attrs.pop(name) for name in ("act_id", "sender_at", "place") if name in attrs}
        return {**act, "seen": Seen(**attrs)}


class SettlementSent(Shape):
    """How a discrepancy was settled, by which later fact."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    sort = serializers.ChoiceField(Settlement.SORTS)
    words = StrictText(max_length=400)
    movement = StrictInteger(
        required=False, allow_null=True, default=None, help_text="A later one."
    )
    swap = StrictInteger(required=False, allow_null=True, default=None, help_text="A later one.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        return {"movement_id": attrs.pop("movement"), "swap_id": attrs.pop("swap"), **attrs}
