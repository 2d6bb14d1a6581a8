"""What the doors take through which units enter, are re-identified and are joined."""

from __future__ import annotations

from typing import Any

from equipment.common.doors.requests import COUNT, part_named, standard_named
from equipment.common.doors.responses import UnitKey
from fleet.doors.fields import Day, DayOrMonth, Shape, StrictInteger, StrictText


class UnitSent(Shape):
    """A unit or lot, known by its original part and serial number: the same again is one act."""

    part_number = StrictText(max_length=40, help_text="The original one.")
    maker = StrictText(
        required=False, allow_null=True, default=None, max_length=16, help_text="Its code."
    )
    serial_number = StrictText(max_length=40)
    standard = StrictText(required=False, allow_null=True, default=None, max_length=24)
    manufactured_on = DayOrMonth(required=False, allow_null=True, default=None)
    stated_life_months = StrictInteger(required=False, allow_null=True, default=None, most=COUNT)
    quantity = StrictInteger(default=1, most=COUNT)
    note = StrictText(required=False, default="", allow_blank=True, max_length=200)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        attrs["standard_id"] = standard_named(attrs.pop("standard"), part)
        made = attrs.pop("manufactured_on")
        attrs["manufactured_on"], attrs["manufactured_precision"] = made or (None, "day")
        attrs["serial_number"] = attrs["serial_number"].upper()
        return {"original_part_id": part.pk, **attrs}


class IdentificationSent(Shape):
    """From a day on a unit is this part number at this standard, by a document."""

    unit = UnitKey(help_text="A unit's id.")
    part_number = StrictText(max_length=40)
    maker = StrictText(required=False, allow_null=True, default=None, max_length=16)
    standard = StrictText(required=False, allow_null=True, default=None, max_length=24)
    from_on = Day()
    document = StrictText(max_length=80)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        attrs["standard_id"] = standard_named(attrs.pop("standard"), part)
        return {"unit_id": attrs.pop("unit"), "part_number_id": part.pk, **attrs}


class MergeSent(Shape):
    """Two units turned out to be one."""

    kept = UnitKey(help_text="The id of the unit that stays.")
    absorbed = UnitKey(help_text="The id of the unit that is the same one.")
    reason = StrictText(max_length=200)
    document = StrictText(required=False, default="", allow_blank=True, max_length=80)
