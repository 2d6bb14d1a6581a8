"""Doors of the tools: entered, calibrated, found out of tolerance or dropped."""

from __future__ import annotations

from django.db.models import QuerySet

from equipment.ledger.facts import Entered
from equipment.models import Calibration, Tool
from equipment.procedures.doors import examples
from equipment.tools.acts.reports import REPORT_TOOL
from equipment.tools.acts.tools import ENTER_TOOL, RECORD_CALIBRATION
from equipment.tools.requests import CalibrationSent, ToolReportSent, ToolSent
from equipment.tools.responses import CalibrationKept, ToolKept, ToolReported
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door
from fleet.doors.lists import listed


def tools_kept() -> QuerySet[Tool]:
    return Tool.objects.select_related("station")


def calibrations_kept() -> QuerySet[Calibration]:
    return Calibration.objects.select_related("tool")


class ToolList(Door):
    get = listed(
        "list_tools",
        tag="Tools",
        summary="Tools",
        description="Wrenches, meters and gauges, each with a code of its own.",
        shows=ToolKept,
        example=examples.TOOL,
        rows=tools_kept,
        order=("code", "pk"),
    )


class CalibrationList(Door):
    get = listed(
        "list_calibrations",
        tag="Tools",
        summary="Calibrations",
        description="The record of the tools, the latest recorded first.",
        shows=CalibrationKept,
        example=examples.CALIBRATION,
        rows=calibrations_kept,
        order=("-pk",),
    )


def _tool(entered: Entered) -> Tool:
    return tools_kept().get(pk=entered.id)


def _calibration(entered: Entered) -> Calibration:
    return calibrations_kept().get(pk=entered.id)


tools = act_door(ENTER_TOOL, ToolSent, ToolKept, examples.TOOL, shown=_tool, base=ToolList)
calibrations = act_door(
    RECORD_CALIBRATION,
    CalibrationSent,
    CalibrationKept,
    examples.CALIBRATION,
    shown=_calibration,
    base=CalibrationList,
)
reports = act_door(
    REPORT_TOOL, ToolReportSent, ToolReported, {"calibration": 12, "discrepancies": [31, 32]}
)

urlpatterns = [
    act_path(ENTER_TOOL, tools, "api-tools"),
    act_path(RECORD_CALIBRATION, calibrations, "api-calibrations"),
    act_path(REPORT_TOOL, reports, "api-tool-reports"),
]
