"""What the doors of movements take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.requests import COUNT, PlaceSent, WhenSent
from equipment.common.doors.responses import UnitKey
from equipment.ledger.facts import MovementFact
from equipment.models import (
    Movement,
)
from fleet.doors.fields import Instant, Shape, StrictBoolean, StrictInteger, StrictText


class MovementSent(WhenSent):
    """One movement: what happened to which unit, and where it is from then on."""

    unit = UnitKey(help_text="A unit's id.")
    sort = serializers.ChoiceField(Movement.SORTS)
    place = PlaceSent()
    day_order = StrictInteger(
        least=-32768, most=32767, default=0, help_text="The order within a day."
    )
    aircraft_minutes = StrictInteger(
        required=False, allow_null=True, default=None, help_text="As read."
    )
    aircraft_cycles = StrictInteger(
        required=False, allow_null=True, default=None, help_text="As read."
    )
    log_page = StrictText(required=False, default="", allow_blank=True, max_length=40)
    document = StrictText(required=False, default="", allow_blank=True, max_length=80)
    reason = StrictText(required=False, default="", allow_blank=True, max_length=200)
    quantity = StrictInteger(
        required=False,
        allow_null=True,
        default=None,
        most=COUNT,
        help_text="Of a lot, from then on.",
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs = super().validate(attrs)
        attrs["unit_id"], attrs["to"] = attrs.pop("unit"), attrs.pop("place")
        return MovementFact(**attrs)


class MovementsSent(Shape):
    """One act: one movement or several, all or none. A swap is a removal and an installation."""

    act_id = serializers.UUIDField(help_text="Made by the sender; the same act twice is one act.")
    sender_at = Instant(required=False, allow_null=True, help_text="The sender's own clock.")
    is_confirmed = StrictBoolean(
        default=False, help_text="It is really so, though it was asked about (`confirm_first`)."
    )
    movements = serializers.ListField(child=MovementSent(), min_length=1, max_length=500)
