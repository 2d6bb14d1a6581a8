"""What the doors of works, extensions and dispositions take and show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.responses import UnitKey
from fleet.doors.fields import (
    Day,
    DayOrMonth,
    Instant,
    KeyOf,
    Shape,
    StrictBoolean,
    StrictInteger,
    StrictText,
)
from fleet.models import Aircraft, AircraftPosition
from scheduling.models import Disposition, Limit, Programme, Work


class SubjectSent(Shape):
    """One unit, one aircraft, or one position of an aircraft."""

    unit = UnitKey(required=False, allow_null=True, default=None, help_text="A unit's id.")
    aircraft = KeyOf(
        Aircraft,
        "registration",
        "aircraft",
        required=False,
        allow_null=True,
        default=None,
        max_length=10,
        help_text="A registration; with a position, that position of it.",
    )
    position = StrictText(
        required=False, allow_null=True, default=None, max_length=32, help_text="A position's code."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        aircraft, code = attrs.pop("aircraft"), attrs.pop("position")
        position = self._position(aircraft, code) if code else None
        attrs["unit_id"] = attrs.pop("unit")
        attrs["aircraft_id"] = None if position else aircraft
        attrs["position_id"] = position
        return attrs

    def _position(self, aircraft: int | None, code: str) -> int:
        rows = AircraftPosition.objects.filter(aircraft=aircraft, type_position__code__iexact=code)
        key = rows.values_list("pk", flat=True).first()
        if key is None:
            raise serializers.ValidationError(
                {
                    "position": [
                        f"The aircraft has no position “{code}”. See its positions, and name the aircraft."
                    ]
                },
                "unknown_position",
            )
        return key


class WorkSent(SubjectSent):
    """A work done. What it restarts follows from the limits that ask for it."""

    act_id = serializers.UUIDField(help_text="Made by the sender; the same act twice is one act.")
    work = KeyOf(Work, "code", "work", max_length=24, help_text="A work's code.")
    limit_code = StrictText(
        required=False, default="", max_length=40, help_text="Only this limit's; empty: all."
    )
    done_on = DayOrMonth(help_text="The day, or the month alone.")
    released_on = Day(required=False, allow_null=True, default=None)
    shop_released_on = Day(required=False, allow_null=True, default=None)
    original_due_on = Day(
        required=False, allow_null=True, default=None, help_text="If done inside the variation."
    )
    method = StrictText(required=False, default="", max_length=24)
    total_minutes = StrictInteger(
        required=False, allow_null=True, default=None, help_text="The subject's own, at the work."
    )
    total_cycles = StrictInteger(required=False, allow_null=True, default=None)
    result = serializers.ChoiceField(["passed", "failed"], default="passed")
    who = StrictText(required=False, default="", max_length=80)
    document = StrictText(required=False, default="", max_length=80)
    certificate = StrictText(required=False, default="", max_length=40)
    corrects = StrictInteger(
        required=False,
        allow_null=True,
        default=None,
        help_text="The record that this one replaces.",
    )
    is_annulment = StrictBoolean(default=False, help_text="The corrected record is withdrawn.")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        attrs["done_on"], attrs["precision"] = attrs["done_on"]
        attrs["work_id"], attrs["corrects_id"] = attrs.pop("work"), attrs.pop("corrects")
        return attrs


class SubjectShown(serializers.Serializer[Any]):
    unit = serializers.IntegerField(source="unit_id", allow_null=True)
    aircraft = serializers.CharField(source="aircraft.registration", default=None, allow_null=True)
    position = serializers.IntegerField(source="position_id", allow_null=True)


class WorkDoneShown(SubjectShown):
    id = serializers.IntegerField()
    work = serializers.CharField(source="work.code")
    limit_code = serializers.CharField()
    done_on = serializers.DateField()
    precision = serializers.CharField(help_text="day, month or year.")
    released_on = serializers.DateField(allow_null=True)
    shop_released_on = serializers.DateField(allow_null=True)
    original_due_on = serializers.DateField(allow_null=True)
    method = serializers.CharField()
    total_minutes = serializers.IntegerField(allow_null=True)
    total_cycles = serializers.IntegerField(allow_null=True)
    result = serializers.CharField(help_text="passed, or failed.")
    who = serializers.CharField()
    document = serializers.CharField()
    certificate = serializers.CharField()
    corrects = serializers.IntegerField(source="corrects_id", allow_null=True)
    is_annulment = serializers.BooleanField()
    act_id = serializers.UUIDField()
    recorded_at = Instant(read_only=True)


class ExtensionSent(SubjectSent):
    """An approved, numbered, one-time allowance; the number makes it one act."""

    programme = KeyOf(Programme, "code", "programme", max_length=24)
    limit = StrictText(max_length=40, help_text="The limit's code.")
    number = StrictText(max_length=40)
    granted_on = Day()
    days = StrictInteger(default=0, most=2**31 - 1)
    minutes = StrictInteger(default=0)
    count = StrictInteger(default=0)
    document = StrictText(max_length=80)
    approved_by = StrictText(max_length=80)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs = super().validate(attrs)
        attrs["programme_id"], attrs["limit_code"] = attrs.pop("programme"), attrs.pop("limit")
        return attrs


class ExtensionShown(SubjectShown):
    programme = serializers.CharField(source="programme.code")
    limit = serializers.CharField(source="limit_code")
    number = serializers.CharField()
    granted_on = serializers.DateField()
    days = serializers.IntegerField()
    minutes = serializers.IntegerField()
    count = serializers.IntegerField()
    document = serializers.CharField()
    approved_by = serializers.CharField()
    recorded_at = Instant(read_only=True)


class DispositionSent(Shape):
    """What one unit's case is for one paragraph of a directive; one of a day, so one act."""

    programme = KeyOf(Programme, "code", "programme", max_length=24)
    limit = StrictText(max_length=40, help_text="The code of the directive's paragraph.")
    revision = StrictText(max_length=24)
    unit = UnitKey(help_text="A unit's id.")
    sort = serializers.ChoiceField(Disposition.SORTS)
    on = Day()
    reason = StrictText(required=False, default="", max_length=200)
    document = StrictText(required=False, default="", max_length=80)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        named = {
            "programme": attrs.pop("programme"),
            "code__iexact": attrs.pop("limit"),
            "revision__iexact": attrs.pop("revision"),
        }
        key = Limit.objects.filter(**named).values_list("pk", flat=True).first()
        if key is None:
            raise serializers.ValidationError(
                {"limit": ["The programme has no limit of this code and revision. Look it up."]},
                "unknown_limit",
            )
        attrs["limit_id"], attrs["unit_id"] = key, attrs.pop("unit")
        return attrs


class DispositionShown(serializers.Serializer[Any]):
    limit = serializers.CharField(source="limit.code")
    revision = serializers.CharField(source="limit.revision")
    unit = serializers.IntegerField(source="unit_id")
    sort = serializers.ChoiceField(Disposition.SORTS)
    on = serializers.DateField()
    reason = serializers.CharField()
    document = serializers.CharField()
    recorded_at = Instant(read_only=True)
