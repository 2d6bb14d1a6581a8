"""What the doors beside a swap take: tags, fillings, discharges, reservations, open items, walk-rounds."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.availability.acts.fillings import Use
from equipment.availability.acts.tag_facts import TagFact
from equipment.common.doors.fields import ACT_ID, Measured, blank
from equipment.common.doors.requests import PlaceSent
from equipment.common.doors.responses import UnitKey
from equipment.models import UnitTag
from fleet.doors.fields import Day, Instant, Shape, StrictBoolean, StrictInteger, StrictText


class TagSent(Shape):
    """How a unit is tagged, and what whoever gets it must know."""

    sort = serializers.ChoiceField(UnitTag.SORTS)
    why = serializers.ChoiceField(UnitTag.WHY, default="", allow_blank=True)
    words = StrictText(required=False, default="", allow_blank=True, max_length=300)
    actions_needed = StrictText(required=False, default="", allow_blank=True, max_length=200)
    exposure = StrictText(required=False, default="", allow_blank=True, max_length=200)
    preservation = StrictText(required=False, default="", allow_blank=True, max_length=200)
    total_minutes = StrictInteger(
        required=False, allow_null=True, default=None, help_text="Its own."
    )
    total_cycles = StrictInteger(
        required=False, allow_null=True, default=None, help_text="Its own."
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        return TagFact(**attrs)


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
    is_empty = StrictBoolean(default=False, help_text="It was found completely empty.")

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
    words = StrictText(max_length=300, help_text="How it happened.")

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
