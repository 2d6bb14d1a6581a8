"""What the doors of a swap take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from equipment.availability.requests import TagSent
from equipment.common.doors.fields import Act, Credentials
from equipment.common.doors.requests import COUNT, PlaceSent, WhenSent, at_field
from equipment.common.doors.responses import UnitKey
from equipment.judging.sorts.table import NAMES
from equipment.swaps.acts import FoundUnit
from equipment.swaps.acts.correcting import UnitCorrection
from fleet.doors.door import Paged
from fleet.doors.fields import Shape, StrictBoolean, StrictInteger, StrictText

OPEN, RELEASED, ABANDONED = "open", "released", "abandoned"


class SwapsAsked(Paged):
    state = serializers.ChoiceField([OPEN, RELEASED, ABANDONED], required=False)
    aircraft = StrictText(required=False, max_length=10, help_text="A registration.")
    station = StrictText(required=False, max_length=8, help_text="Where it is done: a code.")


def _wrong(name: str, text: Any) -> list[serializers.ErrorDetail]:
    if name not in NAMES:
        words = f"Nothing of a step has this name. Known are: {', '.join(NAMES)}."
        return [serializers.ErrorDetail(words, "unknown_field")]
    if not isinstance(text, str):
        words = "Give this as the text that was typed, such as “2.50 mΩ”."
        return [serializers.ErrorDetail(words, "not_text")]
    return []


@extend_schema_field(
    {
        "type": "object",
        "properties": {name: {"type": "string"} for name in NAMES},
        "additionalProperties": False,
        "example": {"value": "62", "unit": "in-lb"},
    }
)
class Typed(serializers.Field):
    """The fields of a step exactly as typed: texts. What they say is judged by the act, not here."""

    default_error_messages = {
        "invalid": "Give the fields of the step by name, each as the text that was typed.",
    }

    def to_internal_value(self, data: Any) -> dict[str, str]:
        if not isinstance(data, Mapping):
            self.fail("invalid")
        wrong = {name[:40]: _wrong(name, text) for name, text in data.items()}
        found = {name: error for name, error in wrong.items() if error}
        if found:
            raise serializers.ValidationError(found)
        return dict(data)

    def to_representation(self, value: Any) -> Any:
        return value


class EntrySent(Act):
    """What was typed at a step. A value that is asked about is kept only once it is confirmed."""

    step = StrictInteger(most=32767, help_text="The step's number.")
    typed = Typed()
    tool = StrictText(
        required=False, default="", allow_blank=True, max_length=24, help_text="A code."
    )
    is_confirmed = StrictBoolean(
        default=False, help_text="It is really so, though it was asked about."
    )


class SignatureSent(Act, Credentials):
    """A signature: the act, and who gives it."""


class ReinspectionSent(SignatureSent):
    """The own work inspected again, nobody else being there."""

    reason = StrictText(
        required=False,
        default="",
        allow_blank=True,
        max_length=200,
        help_text="The unforeseen circumstances, which the act asks for.",
    )
    inspector = StrictText(
        required=False,
        default="",
        allow_blank=True,
        max_length=150,
        help_text="Username of the inspector who was assigned to this shift.",
    )


class UnitCorrectionSent(SignatureSent):
    """Which unit really came off or went on, signed."""

    role = serializers.ChoiceField([("off", "came off"), ("on", "went on")])
    unit = UnitKey(help_text="The id of the unit that it was.")
    reason = StrictText(max_length=200, help_text="What was wrong.")
    is_confirmed = StrictBoolean(
        default=False, help_text="It is really so, though it was asked about (`confirm_first`)."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        said = {name: attrs.pop(name) for name in ("role", "reason", "is_confirmed")}
        said["unit_id"] = attrs.pop("unit")
        return {**attrs, "correction": UnitCorrection(**said)}


class RefusalSent(SignatureSent):
    """An inspected step that is not accepted."""

    reason = StrictText(max_length=200, help_text="Why it is not accepted.")


class HandoverSent(Act):
    """A shift hands an open swap to the next: both sign."""

    words = StrictText(max_length=400, help_text="What the next shift must know.")
    giver = Credentials()
    taker = Credentials()


class FoundSent(Shape):
    """A unit as its plate reads, when it is on no record."""

    part_number = StrictText(max_length=40)
    serial_number = StrictText(max_length=40)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return FoundUnit(**attrs)


class MoveSent(Act, WhenSent):
    """What came off or went on: a unit on record, or what its plate says; the aircraft as read."""

    unit = UnitKey(required=False, allow_null=True, default=None, help_text="A unit's id.")
    found = FoundSent(required=False, allow_null=True, default=None)
    aircraft_minutes = StrictInteger(
        required=False, allow_null=True, default=None, help_text="As read."
    )
    aircraft_cycles = StrictInteger(
        required=False, allow_null=True, default=None, most=COUNT, help_text="As read."
    )
    log_page = StrictText(required=False, default="", allow_blank=True, max_length=40)
    is_confirmed = StrictBoolean(
        default=False, help_text="It is really so, though it was asked about (`confirm_first`)."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        attrs["unit_id"] = attrs.pop("unit")
        if attrs["unit_id"] is not None and attrs["found"] is not None:
            words = "Give the unit's id, or what its plate says: not both."
            raise at_field("found", "one_of_two", words)
        attrs["minutes"] = attrs.pop("aircraft_minutes")
        attrs["cycles"] = attrs.pop("aircraft_cycles")
        return attrs


class RemovalSent(MoveSent):
    """What came off, where it goes, how it is tagged."""

    place = PlaceSent(help_text="Where it goes.")
    tag = TagSent()

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        attrs["to"] = attrs.pop("place")
        return attrs


class InstallationSent(MoveSent):
    """What went on, at the swap's own position."""
