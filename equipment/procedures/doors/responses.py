"""What the doors of the operator's data of the line show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers


class StepKept(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    phase = serializers.CharField()
    sort = serializers.CharField()
    words = serializers.CharField()
    caution = serializers.CharField()
    document = serializers.CharField()
    rule = serializers.JSONField()
    is_needed = serializers.BooleanField()
    is_inspected = serializers.BooleanField()
    posts = serializers.CharField(help_text="removal, installation, or nothing.")
    returns = serializers.IntegerField(allow_null=True)
    earns = serializers.CharField(help_text="Code of the work that the released job counts as.")


class StepListKept(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    code = serializers.CharField()
    revision = serializers.CharField()
    title = serializers.CharField()
    kind = serializers.CharField(source="kind.code")
    part_number = serializers.CharField(source="part_number.number", default=None, allow_null=True)
    document = serializers.CharField()
    document_revision = serializers.CharField()
    from_on = serializers.DateField()
    steps = StepKept(many=True, source="steps_in_order")


class RuleSetKept(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    code = serializers.CharField()
    revision = serializers.CharField()
    document = serializers.CharField()
    from_on = serializers.DateField()
    may_reinspect = serializers.BooleanField()
    warns_same_mistake = serializers.BooleanField()
    step_statement = serializers.CharField()
    inspection_statement = serializers.CharField()
    reinspection_statement = serializers.CharField()
    release_statement = serializers.CharField()


class ChartKept(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    part_number = serializers.CharField(source="part_number.number")
    revision = serializers.CharField()
    gas = serializers.CharField()
    charge_psig = serializers.FloatField()
    charge_at_f = serializers.FloatField()
    points = serializers.JSONField(help_text="Of [°F, least psig, most psig].")
    document = serializers.CharField()
    from_on = serializers.DateField()


class ChartEntered(ChartKept):
    odd = serializers.ListField(
        child=serializers.CharField(), help_text="Points that the gas itself would not show."
    )
