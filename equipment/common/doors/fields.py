"""Fields that the requests of the rooms share: an act's id, credentials, a quantity with its unit."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.fields import empty

from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from fleet.doors.fields import Instant, Shape, StrictText


def blank(most: int, **options: Any) -> StrictText:
    """A text that may be left out."""
    return StrictText(required=False, default="", allow_blank=True, max_length=most, **options)


@extend_schema_field({"oneOf": [{"type": "string"}, {"type": "number"}], "example": "62,5 in-lb"})
class Written(StrictText):
    """A quantity as a person writes it, with its unit or without: what it says is judged by the act."""

    def to_internal_value(self, data: Any) -> str:
        if isinstance(data, int | float) and not isinstance(data, bool):
            data = repr(data)
        return super().to_internal_value(data)


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


class Nothing(Shape):
    """Nothing more is to be said."""


ACT_ID = "Made by the sender; the same act twice is one act."


MOST_PASSWORD = 200  # as on the pages


class Act(Shape):
    """What every act carries."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    sender_at = Instant(required=False, allow_null=True, help_text="The sender's own clock.")


class Credentials(Shape):
    """Who signs, proven anew: a token or a session alone signs nothing."""

    username = StrictText(max_length=150)
    password = StrictText(
        max_length=MOST_PASSWORD,
        trim_whitespace=False,
        write_only=True,
        style={"input_type": "password"},
        help_text="Never kept, shown or logged.",
    )
