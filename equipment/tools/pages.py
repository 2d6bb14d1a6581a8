"""The page of a tool that is reported."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.cache import never_cache

from equipment.common.pages.act import EITHER, PageWords, act_page
from equipment.models import Tool
from equipment.tools.acts.reports import REPORT_TOOL, ToolReport
from fleet.house.pages import reader, today
from fleet.screens.act_forms import form_of
from fleet.screens.act_pages import performed

ToolReportForm = form_of(ToolReport, without=["tool"])


@EITHER
@never_cache
@reader
def tool_report(request: HttpRequest, code: str) -> HttpResponse:
    """A tool is found out of tolerance, or dropped: every value it touched is told of."""
    tool = get_object_or_404(Tool, code__iexact=code)
    form = ToolReportForm(request.POST or None, initial={"found_on": today()})
    if performed(request, REPORT_TOOL, form, tool=tool.code) is not None:
        return redirect("equipment:discrepancies")
    words = PageWords(
        "Report a tool",
        "Every value that it touched since its last good calibration is listed for the controller.",
        "Report it",
        "/tools/",
        "All tools",
        f"{tool.code}, {tool.description}",
    )
    return act_page(request, form, words)
