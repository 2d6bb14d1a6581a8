"""What the doors of papers and sightings take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.requests import PlaceSent, WhenSent
from equipment.common.doors.responses import UnitKey
from equipment.ledger.facts import CertificateFact, LifeStatementFact, SightingFact, TitleFact
from equipment.models import LifeStatement, Title
from fleet.doors.fields import Day, KeyOf, Shape, StrictBoolean, StrictInteger, StrictText
from fleet.models import Measure


class LifeStatementSent(Shape):
    """A dated total of one measure of one unit; the same again is the same act."""

    unit = UnitKey(help_text="A unit's id.")
    measure = KeyOf(Measure, "code", "measure", max_length=16, help_text="A measure's code.")
    stated_on = Day(help_text="The total holds at the end of this day.")
    total = StrictInteger(help_text="Minutes, or a count, as the measure says.")
    since = serializers.ChoiceField(["new", "overhaul"], default="new")
    source = StrictText(max_length=80)  # type: ignore[assignment]
    quality = serializers.ChoiceField(LifeStatement.QUALITIES)
    corrects = StrictInteger(
        required=False, allow_null=True, default=None, help_text="The statement that it replaces."
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        unit, measure = attrs.pop("unit"), attrs.pop("measure")
        return {"fact": LifeStatementFact(unit_id=unit, measure_id=measure, **attrs)}


class CertificateSent(Shape):
    """A release certificate or other paper; the same form and number again is the same act."""

    unit = UnitKey(help_text="A unit's id.")
    form = StrictText(max_length=40, help_text="The form's name as printed.")
    tracking_number = StrictText(max_length=40)
    issued_on = Day()
    issuer = StrictText(max_length=80)
    status = StrictText(max_length=40, help_text="The form's own term.")
    remarks = StrictText(required=False, default="", allow_blank=True, max_length=200)
    is_dual_release = StrictBoolean(
        default=False, help_text="Released under both authorities' rules."
    )
    supplier = StrictText(required=False, default="", allow_blank=True, max_length=80)
    work_order = StrictText(required=False, default="", allow_blank=True, max_length=40)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return {"fact": CertificateFact(unit_id=attrs.pop("unit"), **attrs)}


class TitleSent(Shape):
    """Whose a unit is from a day on; the same day again is the same act."""

    unit = UnitKey(help_text="A unit's id.")
    sort = serializers.ChoiceField(Title.SORTS)
    owner = StrictText(max_length=80)
    from_on = Day()
    return_by = Day(required=False, allow_null=True, default=None)
    core_due_on = Day(required=False, allow_null=True, default=None)
    customs = StrictText(required=False, default="", allow_blank=True, max_length=80)
    restriction = StrictText(required=False, default="", allow_blank=True, max_length=120)
    document = StrictText(required=False, default="", allow_blank=True, max_length=80)
    charge = StrictText(
        required=False,
        default="",
        allow_blank=True,
        max_length=80,
        help_text="What it costs, per what.",
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        return {"fact": TitleFact(unit_id=attrs.pop("unit"), **attrs)}


class SightingSent(WhenSent):
    """What was read on a unit in its place. It moves nothing."""

    act_id = serializers.UUIDField(help_text="Made by the sender; the same act twice is one act.")
    place = PlaceSent(required=False, allow_null=True, default=None)
    unit = UnitKey(required=False, allow_null=True, default=None, help_text="If it is known.")
    part_number_read = StrictText(required=False, default="", allow_blank=True, max_length=40)
    serial_number_read = StrictText(required=False, default="", allow_blank=True, max_length=40)
    expiry_read = Day(required=False, allow_null=True, default=None)
    gauge_read = StrictText(required=False, default="", allow_blank=True, max_length=40)
    pin_read = StrictText(required=False, default="", allow_blank=True, max_length=40)
    note = StrictText(required=False, default="", allow_blank=True, max_length=200)
    reconciles = StrictInteger(
        required=False, allow_null=True, default=None, help_text="The sighting that it settles."
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        attrs = super().validate(attrs)
        return {"fact": SightingFact(unit_id=attrs.pop("unit"), **attrs)}
