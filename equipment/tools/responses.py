"""What the doors of tools show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.doors.fields import Instant


class CalibrationKept(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    tool = serializers.CharField(source="tool.code")
    sort = serializers.CharField(help_text="calibrated, found_out or dropped.")
    done_on = serializers.DateField()
    due_on = serializers.DateField(allow_null=True)
    certificate = serializers.CharField(help_text="Or what was found.")
    recorded_at = Instant(read_only=True)


class ToolKept(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    code = serializers.CharField()
    sort = serializers.CharField()
    description = serializers.CharField()
    serial_number = serializers.CharField()
    station = serializers.CharField(source="station.code", default=None, allow_null=True)
    length_mm = serializers.FloatField(allow_null=True)


class ToolReported(serializers.Serializer[Any]):
    """The report, and the discrepancies of the values that the tool may have spoilt."""

    calibration = serializers.IntegerField(source="calibration_id")
    discrepancies = serializers.ListField(
        child=serializers.IntegerField(), source="discrepancy_ids"
    )
