"""Doors of the tools: entered, calibrated, found out of tolerance or dropped."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from equipment.ledger.facts import Entered
from equipment.models import Calibration, Tool
from equipment.procedures.doors import examples
from equipment.tools.acts.reports import REPORT_TOOL
from equipment.tools.acts.tools import ENTER_TOOL, RECORD_CALIBRATION
from equipment.tools.requests import CalibrationSent, ToolReportSent, ToolSent
from equipment.tools.responses import CalibrationKept, ToolKept, ToolReported
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged
from fleet.doors.schema import described, page_of


class ToolList(Door):
    @described(
        tag="Tools",
        name="list_tools",
        summary="Tools",
        description="Wrenches, meters and gauges, each with a code of its own.",
        query=Paged,
        answer=page_of(ToolKept),
        example={"next": None, "results": [examples.TOOL]},
    )
    def get(self, request: Request) -> Response:
        rows = Tool.objects.select_related("station")
        return self.page(rows, ("code", "pk"), ToolKept, self.asked(Paged))


class CalibrationList(Door):
    @described(
        tag="Tools",
        name="list_calibrations",
        summary="Calibrations",
        description="The record of the tools, the latest recorded first.",
        query=Paged,
        answer=page_of(CalibrationKept),
        example={"next": None, "results": [examples.CALIBRATION]},
    )
    def get(self, request: Request) -> Response:
        rows = Calibration.objects.select_related("tool")
        return self.page(rows, ("-pk",), CalibrationKept, self.asked(Paged))


def _tool(entered: Entered) -> Tool:
    return Tool.objects.select_related("station").get(pk=entered.id)


def _calibration(entered: Entered) -> Calibration:
    return Calibration.objects.select_related("tool").get(pk=entered.id)


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
