"""Doors of holds."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.doors.acts import act_door, act_path
from fleet.doors.fields import Instant
from fleet.doors.requests import PLAIN, act_request_of

from .acts.holds import END_HOLD, HOLD_UNITS


class HeldShown(serializers.Serializer[Any]):
    hold = serializers.IntegerField(source="hold_id")
    units = serializers.ListField(source="unit_ids", child=serializers.IntegerField())
    fitted = serializers.ListField(source="fitted_ids", child=serializers.IntegerField())
    discrepancies = serializers.ListField(
        source="discrepancy_ids", child=serializers.IntegerField()
    )


class HoldEndShown(serializers.Serializer[Any]):
    hold = serializers.IntegerField(source="hold_id")
    words = serializers.CharField()
    document = serializers.CharField()
    ended_at = Instant(read_only=True)


HELD = {"hold": 4, "units": [812, 815], "fitted": [815], "discrepancies": [77]}
HOLD_END = {
    "hold": 4,
    "words": "The maker confirms both.",
    "document": "Letter HS-77",
    "ended_at": "2024-03-01T10:00:00Z",
}
HoldSent = act_request_of(HOLD_UNITS, "HoldSent")
HoldEndSent = act_request_of(END_HOLD, "HoldEndSent", PLAIN)

urlpatterns = [
    act_path(HOLD_UNITS, act_door(HOLD_UNITS, HoldSent, HeldShown, HELD), "api-holds"),
    act_path(END_HOLD, act_door(END_HOLD, HoldEndSent, HoldEndShown, HOLD_END), "api-hold-ends"),
]
