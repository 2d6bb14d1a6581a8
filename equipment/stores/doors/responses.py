"""What the doors of the stores answer."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.models import IncomingInspection
from fleet.doors.fields import Instant
from fleet.doors.rows import RowShown


class LineShown(serializers.Serializer[Any]):
    unit = serializers.IntegerField(source="unit_id")
    movement = serializers.IntegerField(source="movement_id")
    is_known = serializers.BooleanField()
    why_quarantined = serializers.CharField()


class ReceivingShown(serializers.Serializer[Any]):
    lines = LineShown(many=True)


class InspectionShown(RowShown):
    of = IncomingInspection
    shows = "id unit result checks words statement name digest signed_at"


class IssueShown(serializers.Serializer[Any]):
    reservation = serializers.IntegerField(source="pk")
    unit = serializers.IntegerField(source="unit_id")
    issued_at = Instant(read_only=True)
    issued_by = serializers.CharField(source="issued_by.shown_name")
    to = serializers.CharField(source="issued_to")
    job = serializers.CharField(source="issued_job")
    decision = serializers.CharField(source="issue_decision")


class StockShown(serializers.Serializer[Any]):
    unit = serializers.IntegerField(source="unit_id")
    part_number = serializers.CharField()
    serial_number = serializers.CharField()
    quantity = serializers.IntegerField()
    station = serializers.CharField()
    place = serializers.CharField()
    bin = serializers.CharField(source="bin_name")
    state = serializers.CharField()
    reasons = serializers.ListField(child=serializers.CharField())


class StockListShown(serializers.Serializer[Any]):
    counts = serializers.DictField(child=serializers.IntegerField())
    results = StockShown(many=True)
