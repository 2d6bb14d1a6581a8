"""What the doors of the operator's data of the line take: steps, rules, charts, tools."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from equipment.common.requests import part_named
from equipment.models import BottleChart, Step, Tool
from equipment.procedures.acts.charts import NewChart
from equipment.procedures.acts.procedures import NewRuleSet, NewStep, NewStepList
from equipment.procedures.acts.tools import NewCalibration, NewTool
from fleet.doors.fields import Day, KeyOf, Shape, Truth, Whole, Words
from fleet.models import Kind, Station

POSTS = [code for code, _ in Step.POSTS if code]
REPORTS = (("found_out", "found out of tolerance"), ("dropped", "dropped or abused"))


@extend_schema_field({"oneOf": [{"type": "string"}, {"type": "number"}], "example": "62,5 in-lb"})
class Written(Words):
    """A quantity as a person writes it, with its unit or without: what it says is judged by the act."""

    def to_internal_value(self, data: Any) -> str:
        if isinstance(data, int | float) and not isinstance(data, bool):
            data = repr(data)
        return super().to_internal_value(data)


class StepSent(Shape):
    """One step. Its rule is a table of names and values, by the sort of the step."""

    number = Whole(least=1, most=32767)
    phase = serializers.ChoiceField(Step.PHASES)
    sort = serializers.ChoiceField(Step.SORTS)
    words = Words(max_length=300, help_text="What is done.")
    caution = Words(required=False, default="", allow_blank=True, max_length=300)
    document = Words(required=False, default="", allow_blank=True, max_length=80)
    rule = serializers.DictField(child=serializers.JSONField(), default=dict)
    is_needed = Truth(default=True)
    is_inspected = Truth(default=False, help_text="A second person inspects it independently.")
    posts = serializers.ChoiceField(POSTS, required=False, allow_blank=True, default="")
    returns = Whole(
        required=False,
        allow_null=True,
        default=None,
        most=32767,
        help_text="The step whose pins, locks or tools come back here.",
    )
    earns = Words(required=False, default="", allow_blank=True, max_length=32)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return NewStep(**attrs)


class StepListSent(Shape):
    """A list of steps; the same code, revision and contents again is the same act."""

    code = Words(max_length=32)
    revision = Words(max_length=24)
    title = Words(max_length=120)
    kind = KeyOf(Kind, "code", "kind", max_length=24, help_text="Of the position.")
    part_number = Words(
        required=False, allow_null=True, default=None, max_length=40, help_text="Only for it."
    )
    maker = Words(required=False, allow_null=True, default=None, max_length=16)
    document = Words(max_length=80)
    document_revision = Words(max_length=24)
    from_on = Day(help_text="The first day on which it is used.")
    steps = serializers.ListField(child=StepSent(), min_length=1, max_length=300)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        number, maker = attrs.pop("part_number"), attrs.pop("maker")
        part = part_named(number, maker).pk if number else None
        kind = attrs.pop("kind")
        return {"new": NewStepList(**attrs, kind_id=kind, part_number_id=part)}


class RuleSetSent(Shape):
    """The rules of signing; the same code, revision and contents again is the same act."""

    code = Words(max_length=24)
    revision = Words(max_length=24)
    document = Words(max_length=80)
    from_on = Day(help_text="The first day on which they hold.")
    step_statement = Words(max_length=400)
    inspection_statement = Words(max_length=400)
    release_statement = Words(max_length=600)
    reinspection_statement = Words(required=False, default="", allow_blank=True, max_length=400)
    may_reinspect = Truth(default=False)
    warns_same_mistake = Truth(default=True)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        return {"new": NewRuleSet(**attrs)}


class ChartSent(Shape):
    """The chart of a bottle; the same part number, revision and contents again is the same act."""

    part_number = Words(max_length=40)
    maker = Words(required=False, allow_null=True, default=None, max_length=16)
    revision = Words(max_length=24)
    gas = serializers.ChoiceField(BottleChart.GASES)
    charge = Written(max_length=60, help_text="Its nominal charge, as 3000 psi or 207 bar.")
    charge_at = Written(default="70 °F", max_length=60, help_text="The temperature of that charge.")
    points = serializers.ListField(
        child=serializers.ListField(child=serializers.FloatField(), min_length=3, max_length=3),
        min_length=2,
        max_length=200,
        help_text="Of [°F, least psig, most psig].",
    )
    document = Words(max_length=80)
    from_on = Day()

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        part = part_named(attrs.pop("part_number"), attrs.pop("maker"))
        return {"new": NewChart(**attrs, part_number_id=part.pk)}


class ToolSent(Shape):
    """A tool by its code; of one on record, where it is, its description and length are changed."""

    code = Words(max_length=24)
    sort = serializers.ChoiceField(Tool.SORTS)
    description = Words(max_length=80)
    serial_number = Words(required=False, default="", allow_blank=True, max_length=40)
    station = KeyOf(
        Station, "code", "station", required=False, allow_null=True, default=None, max_length=8
    )
    length = Written(
        required=False,
        default="",
        allow_blank=True,
        max_length=60,
        help_text="Of a wrench, as 230 mm: from the square to the middle of the grip.",
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        station = attrs.pop("station")
        return {"new": NewTool(**attrs, station_id=station)}


class CalibrationSent(Shape):
    """A tool was calibrated; the same tool and day again is the same act."""

    tool = Words(max_length=24, help_text="Its code.")
    done_on = Day()
    due_on = Day(help_text="The last day that it is good for.")
    certificate = Words(max_length=80)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        return {"new": NewCalibration(**attrs)}


class ToolReportSent(Shape):
    """A tool was found out of tolerance, or dropped."""

    act_id = serializers.UUIDField(help_text="Made by the sender; the same act twice is one act.")
    tool = Words(max_length=24, help_text="Its code.")
    sort = serializers.ChoiceField(REPORTS)
    found_on = Day()
    words = Words(max_length=200, help_text="What was found.")
