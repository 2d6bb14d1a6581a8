"""The records of status as pages, and as files."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.listed import listed
from fleet.house.pages import reader, today
from fleet.models import Aircraft

from .listings import document_of, status_listing
from .reads import Status, status_of
from .sorts import BY_CODE, SORTS

ROWS = 50


def _asked(request: HttpRequest, sort: str) -> tuple[Status, Aircraft | None]:
    """The record that was asked for; 404 of a sort or an aircraft that there is not."""
    if sort not in BY_CODE:
        raise Http404("There is no such record of status.")
    registration, craft = request.GET.get("aircraft", "").strip().upper()[:10], None
    if registration:
        craft = get_object_or_404(Aircraft, registration=registration.replace("\x00", ""))
    return status_of(sort, craft, today()), craft


@require_safe
@never_cache
@reader
def status_page(request: HttpRequest, sort: str) -> HttpResponse:
    """One record of status, of an aircraft or of all units, a page at a time."""
    status, craft = _asked(request, sort)
    pages = Paginator(range(status.count), ROWS)
    page = pages.get_page(request.GET.get("page"))
    begin = max(page.start_index() - 1, 0)
    lines = [(line, document_of(line)) for line in status.lines(begin, begin + ROWS)]
    context = {
        "sort": BY_CODE[sort],
        "sorts": SORTS,
        "status": status,
        "craft": craft,
        "registrations": Aircraft.objects.order_by("registration").values_list(
            "registration", flat=True
        ),
        "lines": lines,
        "page": page,
        "is_of_today": status.as_of == today(),
    }
    return render(request, "scheduling/status/status.html", context)


@require_safe
@never_cache
@reader
def status_file(request: HttpRequest, sort: str, form: str) -> HttpResponse:
    """The whole record on paper, as a workbook or CSV."""
    status, craft = _asked(request, sort)
    address = request.build_absolute_uri(reverse("scheduling:status", args=[sort]))
    live = f"{address}?aircraft={craft.registration}" if craft else address
    return listed(request, form, lambda: status_listing(status, craft, live))
