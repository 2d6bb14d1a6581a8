"""What the doors of cards and of files kept with a swap take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.availability.requests import TagSent
from equipment.common.doors.fields import ACT_ID, blank
from equipment.common.doors.files import FileSent
from equipment.common.doors.requests import COUNT, PlaceSent, WhenSent, at_field
from equipment.common.doors.responses import UnitKey
from equipment.judging.release.on_card import StepOnCard
from equipment.swaps.acts.paper import Card, Ink
from equipment.swaps.doors.requests import FoundSent
from fleet.doors.fields import Day, Instant, KeyOf, Shape, StrictBoolean, StrictInteger, StrictText
from fleet.models import Station


class InkSent(Shape):
    """Who signed on the paper, with which stamp, on which day."""

    signer = StrictText(max_length=120)
    stamp = blank(40)
    on = Day()

    def validate(self, attrs: dict[str, Any]) -> Any:
        return Ink(**attrs)


class StepOnCardSent(Shape):
    """The times that the card has at one step; leave out what it does not show."""

    number = StrictInteger(least=1, most=32_767, help_text="The step's.")
    done_at = Instant(required=False, allow_null=True, default=None)
    inspected_at = Instant(required=False, allow_null=True, default=None)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return StepOnCard(**attrs)


class CardSent(WhenSent):
    """A swap done on paper, as its card tells it. Units by id, or as their plates read."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    place = PlaceSent(help_text="The position.")
    station = KeyOf(Station, "code", "station", max_length=8, help_text="Where it was done.")
    reference = StrictText(max_length=80, help_text="The card's.")
    reason = StrictText(max_length=200)
    released = InkSent()
    inspected = InkSent(required=False, allow_null=True, default=None)
    performed = blank(120, help_text="Who did the work, if another than who signed its release.")
    steps = StepOnCardSent(
        many=True,
        required=False,
        help_text="The times at its steps. Of a step that covers an inspected one they decide whether "
        "the hold point was kept; without them that is not shown, and a finding.",
    )
    page = FileSent(help_text="The page of the card.")
    off = UnitKey(required=False, allow_null=True, default=None, help_text="A unit's id.")
    off_found = FoundSent(required=False, allow_null=True, default=None)
    off_to = PlaceSent(required=False, allow_null=True, default=None)
    tag = TagSent(required=False, allow_null=True, default=None)
    on = UnitKey(required=False, allow_null=True, default=None, help_text="A unit's id.")
    on_found = FoundSent(required=False, allow_null=True, default=None)
    aircraft_minutes = StrictInteger(
        required=False, allow_null=True, default=None, help_text="As read."
    )
    aircraft_cycles = StrictInteger(required=False, allow_null=True, default=None, most=COUNT)
    log_page = blank(40)
    is_confirmed = StrictBoolean(
        default=False, help_text="It is really so, though it was asked about (`confirm_first`)."
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs = super().validate(attrs)
        for role in ("off", "on"):
            if attrs[role] is not None and attrs[f"{role}_found"] is not None:
                words = "Give the unit's id, or what its plate says: not both."
                raise at_field(f"{role}_found", "one_of_two", words)
        act_id = attrs.pop("act_id")
        attrs["steps"] = tuple(attrs.pop("steps", ()))
        named = {
            "off_id": "off",
            "on_id": "on",
            "station_id": "station",
            "minutes": "aircraft_minutes",
            "cycles": "aircraft_cycles",
        }
        renamed = {name: attrs.pop(sent) for name, sent in named.items()}
        return {"act_id": act_id, "card": Card(**renamed, **attrs)}
