"""Doors of the tools: entered, calibrated, found out of tolerance or dropped."""

from __future__ import annotations

from django.urls import path
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.models import Calibration, Tool
from equipment.procedures.doors import examples
from equipment.tools.acts.reports import report_tool
from equipment.tools.acts.tools import enter_tools, record_calibrations
from equipment.tools.requests import CalibrationSent, ToolReportSent, ToolSent
from equipment.tools.responses import CalibrationKept, ToolKept, ToolReported
from fleet.doors.door import Door, Paged, answer
from fleet.doors.schema import described, page_of


class Tools(Door):
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

    @described(
        tag="Tools",
        name="enter_tool",
        summary="Enter a tool",
        description="Enters a tool by its code; of one on record, where it is kept, its description and "
        "its length become what is sent.",
        takes=ToolSent,
        sent=examples.TOOL_SENT,
        answer=ToolKept,
        example=examples.TOOL,
        act="enter_tool",
    )
    def post(self, request: Request) -> Response:
        new = self.brought(ToolSent)["new"]
        [entered] = enter_tools(by=self.person, rows=[new], at=timezone.now())
        shown = Tool.objects.select_related("station").get(pk=entered.id)
        return answer(ToolKept(shown).data, is_new=entered.is_new)


class Calibrations(Door):
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

    @described(
        tag="Tools",
        name="record_calibration",
        summary="Record a calibration",
        description="Records that a tool was calibrated, by which certificate and until when it is good.",
        takes=CalibrationSent,
        sent=examples.CALIBRATION_SENT,
        answer=CalibrationKept,
        example=examples.CALIBRATION,
        act="record_calibration",
    )
    def post(self, request: Request) -> Response:
        new = self.brought(CalibrationSent)["new"]
        [entered] = record_calibrations(by=self.person, rows=[new], at=timezone.now())
        shown = Calibration.objects.select_related("tool").get(pk=entered.id)
        return answer(CalibrationKept(shown).data, is_new=entered.is_new)


class ToolReports(Door):
    @described(
        tag="Tools",
        name="report_tool",
        summary="Report a tool",
        description="Records a tool as found out of tolerance, or dropped. Every value that it touched "
        "since it was last calibrated becomes a discrepancy, and holds its swap's release.",
        takes=ToolReportSent,
        sent=examples.TOOL_REPORT_SENT,
        answer=ToolReported,
        example={"calibration": 12, "discrepancies": [31, 32]},
        act="record_calibration",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(ToolReportSent)
        reported = report_tool(by=self.person, at=timezone.now(), **sent)
        return answer(ToolReported(reported).data, is_new=reported.is_new)


urlpatterns = [
    path("v1/tools", Tools.as_view(), name="api-tools"),
    path("v1/calibrations", Calibrations.as_view(), name="api-calibrations"),
    path("v1/tool-reports", ToolReports.as_view(), name="api-tool-reports"),
]
