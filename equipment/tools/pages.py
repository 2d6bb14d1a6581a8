"""The page of a tool that is reported."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache

from equipment.common.pages.act import EITHER, PageWords, act_page
from equipment.common.pages.desk import attempt
from equipment.common.pages.person import person
from equipment.models import Tool
from equipment.tools.acts.reports import report_tool
from fleet.house.pages import reader, today

from .forms import ToolReportForm


@EITHER
@never_cache
@reader
def tool_report(request: HttpRequest, code: str) -> HttpResponse:
    """A tool is found out of tolerance, or dropped: every value it touched is told of."""
    tool = get_object_or_404(Tool, code__iexact=code)
    form = ToolReportForm(request.POST or None, initial={"found_on": today()})
    is_sent = request.method == "POST" and form.is_valid()
    if is_sent and attempt(form, lambda: _report(request, form, tool)) is not None:
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


def _report(request: HttpRequest, form: ToolReportForm, tool: Tool) -> Any:
    told = {name: form.cleaned_data[name] for name in ("sort", "found_on", "words")}
    return report_tool(
        by=person(request), tool=tool.code, act_id=form.act, at=timezone.now(), **told
    )
