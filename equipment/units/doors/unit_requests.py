"""How the doors of units name a part number: by its number, its maker where several make it, a standard."""

from __future__ import annotations

from typing import Any

from equipment.common.doors.requests import part_named, standard_named
from fleet.doors.fields import Shape, StrictText


class OriginalPartSent(Shape):
    """The original part, with the standard when the unit is first brought in."""

    gives = ("original_part", "standard")
    part_number = StrictText(max_length=40, help_text="The original one.")
    maker = StrictText(
        required=False, allow_null=True, default=None, max_length=16, help_text="Its code."
    )
    standard = StrictText(required=False, allow_null=True, default=None, max_length=24)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        standard = standard_named(attrs.pop("standard"), part)
        attrs["serial_number"] = attrs["serial_number"].upper()
        return {"original_part": part.pk, **attrs, "standard": standard}


class PartSent(Shape):
    """What a unit is from then on."""

    gives = ("part_number", "standard")
    part_number = StrictText(max_length=40)
    maker = StrictText(required=False, allow_null=True, default=None, max_length=16)
    standard = StrictText(required=False, allow_null=True, default=None, max_length=24)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        standard = standard_named(attrs.pop("standard"), part)
        return {**attrs, "part_number": part.pk, "standard": standard}
