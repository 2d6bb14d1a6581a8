"""The due list: the controller's morning."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from fleet.house.pages import reader, today, wants_part
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.screens.days import day_asked
from fleet.screens.filter_forms import options_now
from fleet.templatetags.face import shows_demonstration
from scheduling.due import due_list as queries
from scheduling.due import exports
from scheduling.due.lists.filters import DueFilters

from . import shown
from .forms import DueFilterForm

PAGE_ROWS = 50


@require_safe
@reader
@vary_on_headers("HX-Request")
def due_list(request: HttpRequest) -> HttpResponse:
    """The fleet's due items, most urgent first; only the list where only the list is asked for."""
    form = DueFilterForm(request.GET, options_now(DueFilters))
    mark = request.GET.get("mark", "")
    context: dict[str, Any] = {"form": form, "today": today()}
    if form.is_valid():
        as_of = form.day(today())
        try:
            page = queries.due_page(filters=form.filters(), as_of=as_of, mark=mark, limit=PAGE_ROWS)
        except Refused as refused:
            show_on_form(form, refused)
        else:
            context |= shown.list_context(form, page, as_of)
    wants_list = wants_part(request)
    name = "scheduling/due/_list.html" if wants_list else "scheduling/due/list.html"
    response = render(request, name, context)
    if wants_list and form.is_valid():
        response["HX-Push-Url"] = request.path + form.address(mark=mark)
    return response


@require_safe
@reader
@vary_on_headers("HX-Request")
def due_item(request: HttpRequest, item_id: int) -> HttpResponse:
    """One due item explained, in place or as a page of its own."""
    asked, fault = day_asked(request, "as_of")
    as_of = asked or today()
    why = queries.explanation(item_id=item_id, as_of=as_of)
    if why is None:
        raise Http404("This due item is no more: what it rested on has changed.")
    name = "scheduling/due/_item.html" if wants_part(request) else "scheduling/due/item.html"
    return render(request, name, shown.why_context(why, as_of, bool(asked)) | {"fault": fault})


@require_safe
@reader
def due_export(request: HttpRequest, form: str) -> HttpResponse | StreamingHttpResponse:
    """Exactly the list shown, or the items selected of it, as CSV or a workbook."""
    asked = DueFilterForm(request.GET, options_now(DueFilters))
    if form not in {"csv", "xlsx"}:
        raise Http404("There is no such export.")
    if not asked.is_valid():
        said = "; ".join(str(fault) for faults in asked.errors.values() for fault in faults)
        return HttpResponse(said, status=400, content_type="text/plain; charset=utf-8")
    as_of = asked.day(today())
    ids = tuple(int(text) for text in request.GET.getlist("id") if text.isdecimal())
    rows = queries.due_rows(filters=asked.filters(ids), as_of=as_of)
    disposition = f'attachment; filename="due-list-{as_of:%Y-%m-%d}.{form}"'
    response: HttpResponse | StreamingHttpResponse
    if form == "csv":
        response = StreamingHttpResponse(
            exports.as_csv(rows), content_type="text/csv; charset=utf-8"
        )
    else:
        book = exports.as_xlsx(rows, as_of, shows_demonstration())
        response = HttpResponse(book, content_type=exports.XLSX)
    response["Content-Disposition"] = disposition
    return response
