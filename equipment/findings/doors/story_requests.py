"""What the doors take that tell what really happened where a discrepancy was found."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.requests import PlaceSent, WhenSent, part_named
from equipment.common.doors.responses import UnitKey
from equipment.findings.acts.discrepancies import Happened
from fleet.doors.fields import Day, Shape, StrictBoolean, StrictInteger, StrictText

ACT = "Made by the sender; the same act twice is one act."


class HappenedSent(WhenSent):
    """A change that nobody had recorded."""

    document = StrictText(max_length=80, help_text="The document that says so.")
    to = PlaceSent(
        required=False, allow_null=True, default=None, help_text="Where the recorded unit went."
    )
    aircraft_minutes = StrictInteger(
        required=False, allow_null=True, default=None, help_text="As read."
    )
    aircraft_cycles = StrictInteger(
        required=False, allow_null=True, default=None, help_text="As read."
    )
    log_page = StrictText(required=False, default="", allow_blank=True, max_length=40)
    annul_later = StrictBoolean(
        default=False, help_text="What is recorded of the found unit since never happened."
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs = super().validate(attrs)
        minutes, cycles = attrs.pop("aircraft_minutes"), attrs.pop("aircraft_cycles")
        return Happened(minutes=minutes, cycles=cycles, **attrs)


class UnrecordedSwapSent(Shape):
    """A change that nobody recorded: the unit that is there, and which of several came off."""

    act_id = serializers.UUIDField(help_text=ACT)
    happened = HappenedSent()
    unit = UnitKey(
        required=False,
        allow_null=True,
        default=None,
        help_text="The id of the unit that is there; null where nothing is.",
    )
    recorded_unit = UnitKey(
        required=False, allow_null=True, default=None, help_text="Which of several came off."
    )


class UnknownUnitSent(Shape):
    """A unit that is on no record: what its plate says, and since when it is there."""

    act_id = serializers.UUIDField(help_text=ACT)
    happened = HappenedSent()
    part_number = StrictText(max_length=40)
    maker = StrictText(
        required=False, allow_null=True, default=None, max_length=16, help_text="Its code."
    )
    serial_number = StrictText(max_length=40)
    manufactured_on = Day(required=False, allow_null=True, default=None)
    recorded_unit = UnitKey(
        required=False, allow_null=True, default=None, help_text="Which of several came off."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        return {**attrs, "part_number_id": part.pk}
