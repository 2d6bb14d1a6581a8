"""What a step's value is judged with: the tool that day, the bottle's chart, how many were fitted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import cast

from equipment.judging.declaring.rule_data import points_of
from equipment.judging.measuring.calibration import (
    CalibrationFact,
    Sort,
    ToolFacts,
    latest_of,
    range_of,
)
from equipment.judging.measuring.pressure import Chart
from equipment.judging.measuring.units import converted
from equipment.judging.sorts.table import BY_CODE
from equipment.judging.steps.judge import ToolOnDay
from equipment.judging.verdicts import Problem
from equipment.models import BottleChart, Step, StepEntry, Swap, Tool, Unit

from .rows import moves_of
from .state import counted

PHASES_OFF = ("make_safe", "remove")


@dataclass(frozen=True, slots=True)
class GivenRows:
    """What the value is judged with, plain, and the rows that it came from."""

    tool: ToolOnDay | None = None
    chart: Chart | None = None
    fitted: int | None = None
    tool_row: Tool | None = None
    calibration_id: int | None = None
    chart_row: BottleChart | None = None


def given_for(swap: Swap, step: Step, tool_code: str, on: date) -> GivenRows:
    """What is given for a step of a swap on a day; a tool that is not on record is no tool."""
    row = tool_named(tool_code)
    facts = tool_facts(row) if row else None
    used = latest_of(facts, on) if facts else None
    declared = BY_CODE.get(step.sort)
    chart = chart_of_swap(swap, step, on) if declared and declared.takes_chart else None
    return GivenRows(
        tool=ToolOnDay(facts, on) if facts else None,
        chart=_chart(chart) if chart else None,
        fitted=fitted_before(swap, step),
        tool_row=row,
        calibration_id=int(used.id) if used and used.id is not None else None,
        chart_row=chart,
    )


def tool_named(code: str) -> Tool | None:
    return Tool.objects.filter(code__iexact=code.strip()).first() if code.strip() else None


def tool_facts(tool: Tool) -> ToolFacts:
    """A tool with its record, in the order recorded."""
    history = tuple(
        CalibrationFact(cast(Sort, each.sort), each.done_on, each.due_on, each.certificate, each.pk)
        for each in tool.calibrations.order_by("pk")
    )
    measures = range_of(tool.sort, tool.measures) if tool.measures else None
    return ToolFacts(
        tool.code,
        history,
        at_least_yearly=tool.at_least_yearly,
        length_mm=tool.length_mm,
        measures=None if isinstance(measures, Problem) else measures,
    )


def fitted_before(swap: Swap, step: Step) -> int | None:
    """How many were fitted, of what comes back at this step."""
    if step.returns is None:
        return None
    entries = StepEntry.objects.filter(
        swap=swap, step__step_list=step.step_list_id, step__number=step.returns
    )
    return counted(entries.order_by("-pk").first())


def chart_of_swap(swap: Swap, step: Step, on: date) -> BottleChart | None:
    """The chart of the bottle that this step reads: of the unit itself, of the one bottle inside it,
    or of the one behind the same access (an overwing slide's stays in the fuselage).

    Before the removal it is the unit that comes off, then the one that goes on. Of several bottles
    with charts inside one unit nothing says which is read: none is taken.
    """
    moves = moves_of(swap)
    planned = {"off": swap.expected_off, "on": swap.planned_on}
    role = "off" if step.phase in PHASES_OFF else "on"
    movement = moves.get(role)
    unit = movement.unit if movement else planned[role]
    if unit is None:
        return None
    return (
        _chart_on([unit.part_number_id], on)
        or _chart_on(_parts_inside(unit), on)
        or _chart_on(_parts_beside(swap), on)
    )


def chart_of_part(part_id: int, on: date) -> Chart | None:
    """The chart in force on a day of a bottle of this part number."""
    row = _chart_on([part_id], on)
    return _chart(row) if row is not None else None


def _parts_beside(swap: Swap) -> list[int]:
    """The parts fitted behind the same access of the aircraft."""
    position = swap.place.aircraft_position
    group = position.type_position.access_group if position else ""
    if position is None or not group:
        return []
    beside = Unit.objects.filter(
        place__aircraft_position__aircraft=position.aircraft_id,
        place__aircraft_position__type_position__access_group=group,
        merged_into=None,
    ).exclude(place=swap.place_id)
    return list(beside.values_list("part_number", flat=True).distinct())


def _parts_inside(unit: Unit) -> list[int]:
    return list(Unit.objects.inside(unit).values_list("part_number", flat=True).distinct())


def _chart_on(parts: list[int], on: date) -> BottleChart | None:
    """The one of these parts' charts in force on a day; None if several parts have one."""
    charts = BottleChart.objects.filter(part_number__in=parts, from_on__lte=on)
    latest = {each.part_number_id: each for each in charts.order_by("from_on", "pk")}
    return next(iter(latest.values())) if len(latest) == 1 else None


def _chart(row: BottleChart) -> Chart | None:
    points = points_of(row.points)
    if not points:
        return None
    charge = Decimal(repr(row.charge_psig))
    return Chart(
        points,
        row.gas,
        row.document,
        row.revision,
        row.unit,
        charge=converted(charge, "psi", row.unit, "pressure"),
        charge_at_f=Decimal(repr(row.charge_at_f)),
    )
