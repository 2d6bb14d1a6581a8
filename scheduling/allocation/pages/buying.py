"""What to order and why, on a page and as a file for the buyer's own system."""

from __future__ import annotations

from urllib.parse import urlencode

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from equipment.common.listing import XLSX, csv_of, xlsx_of
from fleet.house.pages import reader, today
from fleet.words.said import day_words
from scheduling.allocation.reads.kept import current, is_stale
from scheduling.allocation.reads.ordering import COLUMNS, ToBuy, to_buy


@require_safe
@reader
def to_buy_page(request: HttpRequest) -> HttpResponse:
    """Each family of parts with its least stock, reorder point and what lacks; a request begins from its line."""
    run = current()
    rows = to_buy(run, today()) if run else []
    lines = [(one, [_asked(one, part) for part in one.parts]) for one in rows]
    context = {"run": run, "is_stale": bool(run and is_stale(run, today())), "lines": lines}
    return render(request, "scheduling/allocation/to_buy.html", context)


def _asked(one: ToBuy, part: str) -> tuple[str, str]:
    """One part number of a family, and the query by which a request of it begins."""
    return part, urlencode({"part_number": part, "quantity": one.to_order, "why": one.why[:300]})


@require_safe
@reader
def to_buy_file(request: HttpRequest, form: str) -> HttpResponse:
    """The same as CSV or as a workbook."""
    run = current()
    rows = [one.cells for one in to_buy(run, today())] if run else []
    name = f"what-to-order-{today():%Y-%m-%d}"
    if form == "csv":
        answer = HttpResponse(
            "".join(csv_of(COLUMNS, rows)), content_type="text/csv; charset=utf-8"
        )
    elif form == "xlsx":
        is_invented = bool(getattr(settings, "SHOWS_DEMONSTRATION", True))
        what = ("What to order", f"What to order as of {day_words(today())}")
        answer = HttpResponse(xlsx_of(COLUMNS, rows, what, is_invented), content_type=XLSX)
    else:
        raise Http404("There is no such file.")
    answer["Content-Disposition"] = f'attachment; filename="{name}.{form}"'
    return answer
