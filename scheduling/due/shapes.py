"""What the due list's doors show and take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.acts.act import filled
from fleet.doors.door import Paged
from fleet.doors.fields import Day, Shape, StrictInteger
from fleet.doors.requests import query_of
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import BANDS, MOST_COUNTED


def _as_of() -> Day:
    return Day(required=False, help_text="The day to reckon for; today unless given.")


class AsOfAsked(Shape):
    as_of = _as_of()


DueAsked = query_of(DueFilters, "DueAsked", Paged, as_of=_as_of())


def filters_of(asked: dict[str, Any], unit_id: int | None = None) -> DueFilters:
    """The read function's filters out of a query that was read."""
    found: DueFilters = filled(DueFilters, {**asked, "unit_id": unit_id})
    return found


class DueShown(serializers.Serializer[Any]):
    """One due item. Totals in minutes and counts; empty text or null where there is none."""

    id = serializers.IntegerField()
    band = serializers.ChoiceField(BANDS)
    by_days = serializers.CharField(
        help_text="Of what falls after the last planned check and is soon, or has no planned check at all: within how many days it is due."
    )
    work = serializers.CharField()
    limit = serializers.CharField()
    registration = serializers.CharField()
    station = serializers.CharField()
    position = serializers.CharField()
    inside = serializers.CharField(help_text="Where inside which unit.")
    unit = serializers.IntegerField(source="unit_id", allow_null=True)
    part_number = serializers.CharField()
    serial_number = serializers.CharField()
    description = serializers.CharField()
    maker = serializers.CharField(
        help_text="Code of its maker: with part and serial number it is one unit."
    )
    line_unit = serializers.IntegerField(
        source="line_unit_id", allow_null=True, help_text="What comes off on the line with it."
    )
    line_part_number = serializers.CharField()
    line_serial_number = serializers.CharField()
    start_on = serializers.DateField(allow_null=True)
    due_on = serializers.DateField(allow_null=True, help_text="The last day.")
    until_on = serializers.DateField(
        allow_null=True, help_text="The last day with its variation and extension."
    )
    is_projected = serializers.BooleanField(
        help_text="From hours or cycles, by the aircraft's rate."
    )
    due_at_minutes = serializers.IntegerField(allow_null=True)
    due_at_cycles = serializers.IntegerField(allow_null=True)
    due_at_other = serializers.IntegerField(allow_null=True)
    other_measure = serializers.CharField(help_text="A measure of the unit's own.")
    other_is_hours = serializers.BooleanField(help_text="Then its totals are minutes.")
    decided_by = serializers.CharField(help_text="The clock that won.")
    left_days = serializers.IntegerField(allow_null=True)
    left_minutes = serializers.IntegerField(allow_null=True)
    left_cycles = serializers.IntegerField(allow_null=True)
    left_other = serializers.IntegerField(allow_null=True)
    missing = serializers.ListField(child=serializers.CharField(), help_text="Facts not known.")
    worst_on = serializers.DateField(
        allow_null=True, help_text="The earliest that it could be due."
    )
    notes = serializers.ListField(child=serializers.CharField())
    check_name = serializers.CharField()
    check_starts_on = serializers.DateField(allow_null=True)
    check_id = serializers.IntegerField(allow_null=True)
    is_stale = serializers.BooleanField(help_text="What it rested on has changed since.")
    grounds_aircraft = serializers.BooleanField(help_text="Its aircraft may not fly as it is.")


class DuePageShown(serializers.Serializer[Any]):
    next = serializers.URLField(allow_null=True)
    as_of = serializers.DateField()
    counts = serializers.DictField(
        child=serializers.IntegerField(),
        help_text="Per band, under all filters but the band's own; "
        f"{MOST_COUNTED + 1} means more than {MOST_COUNTED}.",
    )
    grounding = serializers.IntegerField(
        help_text="How many ground their aircraft, whatever their band, under all other filters."
    )
    results = DueShown(many=True)


class ChangesAsked(Shape):
    most = StrictInteger(
        required=False,
        least=1,
        most=200,
        help_text="So many of each sort at most; 50 unless given.",
    )


class ChangedShown(serializers.Serializer[Any]):
    """One item that is otherwise than on the list of the day before."""

    item = serializers.IntegerField(
        source="item_id", allow_null=True, help_text="Its id in the due list, where it is there."
    )
    registration = serializers.CharField(source="row.registration")
    station = serializers.CharField(source="row.station")
    position = serializers.CharField(source="row.position")
    unit = serializers.IntegerField(source="row.unit_id", allow_null=True)
    part_number = serializers.CharField(source="row.part_number")
    serial_number = serializers.CharField(source="row.serial_number")
    work = serializers.CharField(source="row.work")
    limit = serializers.CharField(source="row.limit")
    band = serializers.CharField(source="row.band")
    due_on = serializers.DateField(source="row.due_on", allow_null=True)
    was_band = serializers.CharField()
    was_due_on = serializers.DateField(allow_null=True)
    why = serializers.CharField()
    recorded_by = serializers.CharField(source="whose.by", default="")
    recorded_at = serializers.DateTimeField(source="whose.at", default=None, allow_null=True)


class ChangesShown(serializers.Serializer[Any]):
    """What changed since the list of the day before, the most urgent first."""

    since = serializers.DateField(source="on", help_text="The day of the list that was kept.")
    kept_at = serializers.DateTimeField(source="at", help_text="As the records said then.")
    new_in_all = serializers.IntegerField(source="totals.new")
    gone_in_all = serializers.IntegerField(source="totals.gone")
    moved_in_all = serializers.IntegerField(source="totals.moved")
    by_use = serializers.IntegerField(
        help_text="Projected otherwise by what the aircraft flew, in the same band; not listed."
    )
    new = ChangedShown(many=True)
    gone = ChangedShown(many=True)
    moved = ChangedShown(many=True)


CHANGES = {
    "since": "2026-11-29",
    "kept_at": "2026-11-30T00:05:00Z",
    "new_in_all": 0,
    "gone_in_all": 0,
    "moved_in_all": 1,
    "by_use": 41,
    "new": [],
    "gone": [],
    "moved": [
        {
            "item": 2147483649,
            "registration": "Q7-VAB",
            "station": "NRV",
            "position": "D1L-SLIDE",
            "unit": 512,
            "part_number": "HS-4120",
            "serial_number": "S0817",
            "work": "Overhaul",
            "limit": "SL-OH",
            "band": "beyond-plan",
            "due_on": "2029-11-29",
            "was_band": "next-check",
            "was_due_on": "2027-01-12",
            "why": "work recorded: counted from 29 Nov 2026",
            "recorded_by": "I. Tarn",
            "recorded_at": "2026-11-30T07:12:00Z",
        }
    ],
}


class ClockShown(serializers.Serializer[Any]):
    label = serializers.CharField()  # type: ignore[assignment]
    start_on = serializers.DateField(allow_null=True)
    due_on = serializers.DateField(allow_null=True)
    detail = serializers.CharField()


class ExplanationShown(serializers.Serializer[Any]):
    """A due date to check with pencil and paper."""

    item = DueShown(source="row")
    steps = serializers.ListField(child=serializers.CharField(), help_text="From start to result.")
    others = serializers.ListField(child=serializers.CharField(), help_text="The clocks that lost.")
    clocks = ClockShown(many=True, help_text="The one that decided first.")
    document = serializers.CharField()
