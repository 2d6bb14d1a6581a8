"""What the doors of the operator's data of the line show."""

from __future__ import annotations

from rest_framework import serializers

from equipment.models import BottleChart, RuleSet, Step, StepList
from fleet.doors.rows import RowShown


class StepKept(RowShown):
    of = Step
    shows = """
        number phase sort words caution document rule is_needed is_inspected posts returns
        earns covers
    """
    told = {
        "posts": "removal, installation, or nothing.",
        "earns": "Code of the work that the released job counts as.",
    }


class StepListKept(RowShown):
    of = StepList
    shows = """
        id code revision title kind.code part_number.number for_work document document_revision
        from_on
    """
    steps = StepKept(many=True, source="steps_in_order")


class RuleSetKept(RowShown):
    of = RuleSet
    shows = """
        id code revision document from_on may_reinspect warns_same_mistake
        needs_dual_release step_statement inspection_statement reinspection_statement
        release_statement programme aircraft.registration
    """


class ChartKept(RowShown):
    of = BottleChart
    shows = """
        id part_number.number revision gas charge_psig charge_at_f unit points document from_on
    """
    told = {"points": "Of [°F, least, most].", "unit": "Of the points' pressures."}


class ChartEntered(ChartKept):
    odd = serializers.ListField(
        child=serializers.CharField(), help_text="Points that the gas itself would not show."
    )
