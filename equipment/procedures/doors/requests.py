"""What the doors of the operator's data of the line take: steps, rules, charts, tools."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.fields import Written
from equipment.common.doors.requests import part_named
from equipment.models import BottleChart, Step
from equipment.procedures.acts.charts import WARMTHS, NewChart
from equipment.procedures.acts.procedures import NewRuleSet, NewStep, NewStepList
from fleet.doors.fields import Day, KeyOf, Shape, StrictBoolean, StrictInteger, StrictText
from fleet.models import Aircraft, Kind

POSTS = [code for code, _ in Step.POSTS if code]


class StepSent(Shape):
    """One step. Its rule is a table of names and values, by the sort of the step."""

    number = StrictInteger(least=1, most=32767)
    phase = serializers.ChoiceField(Step.PHASES)
    sort = serializers.ChoiceField(Step.SORTS)
    words = StrictText(max_length=300, help_text="What is done.")
    caution = StrictText(required=False, default="", allow_blank=True, max_length=300)
    document = StrictText(required=False, default="", allow_blank=True, max_length=80)
    rule = serializers.DictField(child=serializers.JSONField(), default=dict)
    is_needed = StrictBoolean(default=True)
    is_inspected = StrictBoolean(
        default=False, help_text="A second person inspects it independently."
    )
    posts = serializers.ChoiceField(POSTS, required=False, allow_blank=True, default="")
    returns = StrictInteger(
        required=False,
        allow_null=True,
        default=None,
        most=32767,
        help_text="The step whose pins, locks or tools come back here.",
    )
    earns = StrictText(required=False, default="", allow_blank=True, max_length=32)
    covers = serializers.ListField(
        child=StrictInteger(least=1, most=32767),
        max_length=20,
        default=list,
        help_text="Inspected steps that cannot be seen any more once this one is done: it waits for them.",
    )

    def validate(self, attrs: dict[str, Any]) -> Any:
        return NewStep(**{**attrs, "covers": tuple(attrs["covers"])})


class StepListSent(Shape):
    """A list of steps; the same code, revision and contents again is the same act."""

    code = StrictText(max_length=32)
    revision = StrictText(max_length=24)
    title = StrictText(max_length=120)
    kind = KeyOf(Kind, "code", "kind", max_length=24, help_text="Of the position.")
    part_number = StrictText(
        required=False, allow_null=True, default=None, max_length=40, help_text="Only for it."
    )
    maker = StrictText(required=False, allow_null=True, default=None, max_length=16)
    for_work = StrictText(
        required=False,
        default="",
        allow_blank=True,
        max_length=32,
        help_text="Code of the work done in place by it; empty: a change.",
    )
    document = StrictText(max_length=80)
    document_revision = StrictText(max_length=24)
    from_on = Day(help_text="The first day on which it is used.")
    steps = serializers.ListField(child=StepSent(), min_length=1, max_length=300)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        number, maker = attrs.pop("part_number"), attrs.pop("maker")
        part = part_named(number, maker).pk if number else None
        kind = attrs.pop("kind")
        return {"new": NewStepList(**attrs, kind_id=kind, part_number_id=part)}


class RuleSetSent(Shape):
    """The rules of signing; the same code, revision and contents again is the same act."""

    code = StrictText(max_length=24)
    revision = StrictText(max_length=24)
    document = StrictText(max_length=80)
    from_on = Day(help_text="The first day on which they hold.")
    step_statement = StrictText(max_length=400)
    inspection_statement = StrictText(max_length=400)
    release_statement = StrictText(max_length=600)
    reinspection_statement = StrictText(
        required=False, default="", allow_blank=True, max_length=400
    )
    may_reinspect = StrictBoolean(default=False)
    warns_same_mistake = StrictBoolean(default=True)
    needs_dual_release = StrictBoolean(
        default=False,
        help_text="Whether a unit that goes on needs a certificate of both authorities' rules.",
    )
    programme = StrictText(
        required=False,
        default="",
        allow_blank=True,
        max_length=32,
        help_text="Code: only for aircraft that follow it.",
    )
    aircraft = KeyOf(
        Aircraft,
        "registration",
        "aircraft",
        max_length=12,
        required=False,
        allow_null=True,
        default=None,
        help_text="Registration: only for it.",
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        attrs["aircraft_id"] = attrs.pop("aircraft")
        return {"new": NewRuleSet(**attrs)}


class ChartSent(Shape):
    """The chart of a bottle; the same part number, revision and contents again is the same act."""

    part_number = StrictText(max_length=40)
    maker = StrictText(required=False, allow_null=True, default=None, max_length=16)
    revision = StrictText(max_length=24)
    gas = serializers.ChoiceField(BottleChart.GASES)
    charge = Written(max_length=60, help_text="Its nominal charge, as 3000 psi or 207 bar.")
    charge_at = Written(default="70 °F", max_length=60, help_text="The temperature of that charge.")
    points = serializers.ListField(
        child=serializers.ListField(
            child=serializers.FloatField(allow_null=True), min_length=3, max_length=3
        ),
        min_length=2,
        max_length=200,
        help_text="Of [temperature, least, most]; most null where only a least is laid down.",
    )
    unit = serializers.ChoiceField(
        BottleChart.UNITS, default="psi", help_text="Of the points' pressures, a gauge's."
    )
    temperature_unit = serializers.ChoiceField(
        WARMTHS, default="°F", help_text="Of the points' temperatures."
    )
    document = StrictText(max_length=80)
    from_on = Day()

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        return {"new": NewChart(**attrs, part_number_id=part.pk)}
