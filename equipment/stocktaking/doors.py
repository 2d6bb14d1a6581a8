"""The stock-takes for programs: those there are, each with what differs in it now."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers

from equipment.models import StockTake
from equipment.stocktaking.reads import standing
from fleet.doors.door import Door
from fleet.doors.fields import Instant
from fleet.doors.lists import listed


class CountDifferenceShown(serializers.Serializer[Any]):
    sort = serializers.CharField()
    words = serializers.CharField()
    unit = serializers.IntegerField(source="unit_id", allow_null=True)
    line = serializers.IntegerField(source="scan_id", allow_null=True)
    ways = serializers.ListField(child=serializers.CharField())


class StockTakeShown(serializers.Serializer[Any]):
    id = serializers.IntegerField(source="take.pk")
    station = serializers.CharField(source="take.station.code")
    store = serializers.CharField(source="take.store")
    bin = serializers.CharField(source="take.bin_name")
    begun_at = Instant(source="take.begun_at", read_only=True)
    ended_at = Instant(source="take.ended_at", read_only=True, allow_null=True)
    expected = serializers.IntegerField()
    counted = serializers.IntegerField()
    differences = CountDifferenceShown(source="differs", many=True)


def _open() -> QuerySet[StockTake]:
    return StockTake.objects.filter(ended_at=None).select_related("station")


class Counts(Door):
    get = listed(
        "list_stock_takes",
        tag="Stores",
        summary="Stock-takes under way",
        description="Each with how many units are expected, how many of these were scanned, and every "
        "difference that nobody has settled.",
        shows=StockTakeShown,
        example={
            "id": 7,
            "station": "QEX1",
            "store": "store",
            "bin": "R1-04",
            "begun_at": "2024-03-01T10:00:00Z",
            "ended_at": None,
            "expected": 12,
            "counted": 11,
            "differences": [
                {
                    "sort": "missing",
                    "words": "HS-1 S/N S9: on record in bin R1-04.",
                    "unit": 812,
                    "line": None,
                    "ways": ["lost"],
                }
            ],
        },
        rows=_open,
        order=("pk",),
        completed=lambda rows: [standing(take) for take in rows],
    )
