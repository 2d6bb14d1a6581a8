"""What the doors of works, extensions and dispositions take and show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.doors.fields import Instant, KeyOf, Shape, StrictText
from fleet.doors.requests import act_request_of
from fleet.models import AircraftPosition
from scheduling.models import Disposition, Limit, Programme

from .acts.allowances import GRANT_EXTENSION
from .acts.dispositions import DISPOSITION_DIRECTIVE
from .acts.works import RECORD_WORK


class OfSubject(Shape):
    """One unit, one aircraft, or one position of an aircraft: which of them is the act's to say."""

    gives = ("position",)
    position = StrictText(
        required=False, allow_null=True, default=None, max_length=32, help_text="A position's code."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        aircraft, code = attrs["aircraft"], attrs["position"]
        position = self._position(aircraft, code) if code else None
        return {**attrs, "aircraft": None if position else aircraft, "position": position}

    def _position(self, aircraft: int | None, code: str) -> int:
        rows = AircraftPosition.objects.filter(aircraft=aircraft, type_position__code__iexact=code)
        key = rows.values_list("pk", flat=True).first()
        if key is None:
            words = (
                f"The aircraft has no position “{code}”. See its positions, and name the aircraft."
            )
            raise serializers.ValidationError({"position": [words]}, "unknown_position")
        return key


WorkSent = act_request_of(
    RECORD_WORK,
    "WorkSent",
    "A work done. What it restarts follows from the limits that ask for it.",
    base=OfSubject,
)


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


ExtensionSent = act_request_of(
    GRANT_EXTENSION,
    "ExtensionSent",
    "An approved, numbered, one-time allowance; the number makes it one act.",
    base=OfSubject,
)


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


class OfParagraph(Shape):
    """A paragraph of a directive, by its programme, code and revision."""

    gives = ("limit",)
    programme = KeyOf(Programme, "code", "programme", max_length=24)
    limit = StrictText(max_length=40, help_text="The code of the directive's paragraph.")
    revision = StrictText(max_length=24)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        named = {
            "programme": attrs["programme"],
            "code__iexact": attrs["limit"],
            "revision__iexact": attrs["revision"],
        }
        key = Limit.objects.filter(**named).values_list("pk", flat=True).first()
        if key is None:
            words = "The programme has no limit of this code and revision. Look it up."
            raise serializers.ValidationError({"limit": [words]}, "unknown_limit")
        return {**attrs, "limit": key}


DispositionSent = act_request_of(
    DISPOSITION_DIRECTIVE,
    "DispositionSent",
    "What one unit's case is for one paragraph of a directive; one of a day, so one act.",
    base=OfParagraph,
)


class DispositionShown(serializers.Serializer[Any]):
    limit = serializers.CharField(source="limit.code")
    revision = serializers.CharField(source="limit.revision")
    unit = serializers.IntegerField(source="unit_id")
    sort = serializers.ChoiceField(Disposition.SORTS)
    on = serializers.DateField()
    reason = serializers.CharField()
    document = serializers.CharField()
    recorded_at = Instant(read_only=True)
