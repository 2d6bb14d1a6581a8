"""The controller's pages of the line: discrepancies, open items, tools."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from equipment.findings.reads import lists
from equipment.findings.reads.open_items import open_rows
from equipment.tools.reads import tools as tool_list
from fleet.house.desks import may
from fleet.house.pages import reader, today

MOST_OPEN = 500


@require_safe
@never_cache
@reader
def discrepancies(request: HttpRequest) -> HttpResponse:
    """What was found to differ from the records and waits to be settled."""
    context = {
        "rows": lists.unsettled(),
        "settled": lists.settled_lately(),
        "may_settle": may(person(request), "settle_discrepancy"),
    }
    return render(request, "equipment/findings/discrepancies.html", context)


@require_safe
@never_cache
@reader
def open_items(request: HttpRequest) -> HttpResponse:
    """Positions left open and defects deferred, the first to expire on top."""
    rows, more = open_rows(today(), most=MOST_OPEN)
    context = {
        "rows": rows,
        "more": more,
        "may_close": may(person(request), "open_item"),
        "may_repeat": may(person(request), "record_repeat_action"),
    }
    return render(request, "equipment/findings/open_items.html", context)


@require_safe
@never_cache
@reader
def tools(request: HttpRequest) -> HttpResponse:
    """The tools with their calibration; of one found out, every value it touched."""
    return render(request, "equipment/tools/list.html", {"tools": tool_list(today())})
