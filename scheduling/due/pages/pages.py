"""The due list: the controller's morning."""

from __future__ import annotations

from itertools import islice
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe
from django.views.decorators.vary import vary_on_headers

from equipment.common.listing import FORMS
from equipment.common.pages.listed import listed
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
from .columns import columns_of, remember
from .forms import DueFilterForm

MOST_PAGES = 100_000
#: A list of more rows is made on paper by the job: some two hundred pages.
LONG_ROWS = 6_000


@require_safe
@reader
@vary_on_headers("HX-Request")
def due_list(request: HttpRequest) -> HttpResponse:
    """The fleet's due items, most urgent first; only the list where only the list is asked for."""
    form = DueFilterForm(request.GET, options_now(DueFilters))
    mark, number = request.GET.get("mark", ""), _page_number(request)
    columns = columns_of(request)
    context: dict[str, Any] = {"form": form, "today": today()}
    if form.is_valid():
        as_of = form.day(today())
        try:
            page = queries.due_page(
                filters=form.filters(), as_of=as_of, mark=mark, limit=shown.PAGE_ROWS
            )
        except Refused as refused:
            show_on_form(form, refused)
        else:
            context |= shown.list_context(form, page, as_of, columns, number)
    wants_list = wants_part(request)
    name = "scheduling/due/_list.html" if wants_list else "scheduling/due/list.html"
    response = render(request, name, context)
    if wants_list and form.is_valid():
        response["HX-Push-Url"] = request.path + form.address(mark=mark, page=mark and number)
    remember(request, response, columns)
    return response


def _page_number(request: HttpRequest) -> int:
    """Which page a link said that it leads to (0: it did not say): the mark alone tells which rows are on it."""
    if not request.GET.get("mark"):
        return 1
    text = request.GET.get("page", "")
    return min(int(text), MOST_PAGES) if text.isdecimal() and len(text) < 8 else 0


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


def asked_words(form: DueFilterForm) -> str:
    """What a list was narrowed by, in the words of its form."""
    told = []
    for name, value in form.cleaned_data.items():
        if value in (None, "", False, [], ()):
            continue
        choices = dict(getattr(form.fields[name], "choices", ()))
        words = choices.get(value, "yes" if value is True else value)
        told.append(f"{form.fields[name].label or name}: {words}")
    return "; ".join(told)


@require_http_methods(["GET", "HEAD", "POST"])
@reader
def due_export(request: HttpRequest, form: str) -> HttpResponse | StreamingHttpResponse:
    """Exactly the list shown, or the items selected, on whichever pages, as CSV, a workbook or on paper.

    A long selection comes as a form: an address has no room for it. Nothing is changed by either.
    """
    sent = request.POST if request.method == "POST" else request.GET
    asked = DueFilterForm(sent, options_now(DueFilters))
    if form not in FORMS:
        raise Http404("There is no such export.")
    if not asked.is_valid():
        said = "; ".join(str(fault) for faults in asked.errors.values() for fault in faults)
        return HttpResponse(said, status=400, content_type="text/plain; charset=utf-8")
    as_of = asked.day(today())
    ids = tuple(int(text) for text in sent.getlist("id") if text.isdecimal() and len(text) < 19)
    filters = asked.filters()
    if (
        ids
    ):  # what was selected is taken as it is, on whichever page and under whichever filter it was
        filters = DueFilters(ids=ids, sort=filters.sort, is_descending=filters.is_descending)
    rows = queries.due_rows(filters=filters, as_of=as_of)
    if form == "pdf":
        first = list(islice(rows, LONG_ROWS + 1))
        if len(first) > LONG_ROWS and not ids:
            return redirect(f"{reverse('scheduling:paper_ask')}{asked.address()}")
        words = f"{len(ids)} selected rows" if ids else asked_words(asked)
        address = request.build_absolute_uri(f"{reverse('scheduling:due_list')}{asked.address()}")
        return listed(
            request, form, lambda: exports.due_listing([*first, *rows], as_of, address, words)
        )
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
