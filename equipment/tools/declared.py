"""What people do about tools: each act once, with the ways to it."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.models import Tool
from equipment.procedures.doors import examples
from equipment.tools import doors, requests
from equipment.tools.acts.reports import REPORT_TOOL
from equipment.tools.acts.tools import ENTER_TOOL, RECORD_CALIBRATION
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page


def about_tool(request: HttpRequest, code: str) -> About:
    """The tool of the address, in any case; 404 if there is none."""
    tool = get_object_or_404(Tool, code__iexact=code)
    return About(
        given={"tool": tool.code},
        subject=f"{tool.code}, {tool.description}",
        back=reverse("equipment:tools"),
        back_label="All tools",
    )


REPORT = Page(
    address="tools/<str:code>/report/",
    name="tool_report",
    heading="Report a tool",
    lead="Every value that it touched since its last good calibration is listed for the controller.",
    button="Report it",
    done="The tool is reported.",
    about=about_tool,
    known=("tool",),
    begins_today=("found_on",),
    then=lambda done: reverse("equipment:discrepancies"),
)

OFFERS = (
    Offer(
        ENTER_TOOL,
        Api(
            takes=requests.ToolSent,
            shows=doors.ToolKept,
            example=examples.TOOL,
            base=doors.ToolList,
            ways={"shown": doors.tool_kept},
        ),
    ),
    Offer(
        RECORD_CALIBRATION,
        Api(
            takes=requests.CalibrationSent,
            shows=doors.CalibrationKept,
            example=examples.CALIBRATION,
            base=doors.CalibrationList,
            ways={"shown": doors.calibration_kept},
        ),
    ),
    Offer(REPORT_TOOL, Api(sent="ToolReportSent"), REPORT),
)
