"""What the doors of works, extensions and dispositions take and show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.doors.fields import KeyOf, Shape, StrictText
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown
from fleet.models import AircraftPosition
from scheduling.models import Disposition, Extension, Limit, Programme, WorkDone

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


class WorkDoneShown(RowShown):
    of = WorkDone
    shows = """
        unit aircraft.registration position id work.code limit_code done_on precision released_on shop_released_on
        original_due_on original_due_minutes original_due_cycles method total_minutes total_cycles
        result who authorisation document certificate corrects is_annulment act_id recorded_at
    """
    told = {"precision": "day, month or year.", "result": "passed, or failed."}


ExtensionSent = act_request_of(
    GRANT_EXTENSION,
    "ExtensionSent",
    "An approved, numbered, one-time allowance; the number makes it one act.",
    base=OfSubject,
)


class ExtensionShown(RowShown):
    of = Extension
    shows = """
        unit aircraft.registration position programme.code number granted_on days minutes count
        document approved_by recorded_at
    """
    limit = serializers.CharField(source="limit_code")


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


class DispositionShown(RowShown):
    of = Disposition
    shows = "limit.code unit on reason document recorded_at"
    revision = serializers.CharField(source="limit.revision")
    sort = serializers.ChoiceField(Disposition.SORTS)
