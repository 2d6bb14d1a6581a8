"""What the doors of tools take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.fields import Written
from equipment.models import Tool
from equipment.tools.acts.tools import NewCalibration, NewTool
from fleet.doors.fields import Day, KeyOf, Shape, StrictText
from fleet.models import Station

REPORTS = (("found_out", "found out of tolerance"), ("dropped", "dropped or abused"))


class ToolSent(Shape):
    """A tool by its code; of one on record, where it is, its description and length are changed."""

    code = StrictText(max_length=24)
    sort = serializers.ChoiceField(Tool.SORTS)
    description = StrictText(max_length=80)
    serial_number = StrictText(required=False, default="", allow_blank=True, max_length=40)
    station = KeyOf(
        Station, "code", "station", required=False, allow_null=True, default=None, max_length=8
    )
    length = Written(
        required=False,
        default="",
        allow_blank=True,
        max_length=60,
        help_text="Of a wrench, as 230 mm: from the square to the middle of the grip.",
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        station = attrs.pop("station")
        return {"new": NewTool(**attrs, station_id=station)}


class CalibrationSent(Shape):
    """A tool was calibrated; the same tool and day again is the same act."""

    tool = StrictText(max_length=24, help_text="Its code.")
    done_on = Day()
    due_on = Day(help_text="The last day that it is good for.")
    certificate = StrictText(max_length=80)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        return {"new": NewCalibration(**attrs)}


class ToolReportSent(Shape):
    """A tool was found out of tolerance, or dropped."""

    act_id = serializers.UUIDField(help_text="Made by the sender; the same act twice is one act.")
    tool = StrictText(max_length=24, help_text="Its code.")
    sort = serializers.ChoiceField(REPORTS)
    found_on = Day()
    words = StrictText(max_length=200, help_text="What was found.")
