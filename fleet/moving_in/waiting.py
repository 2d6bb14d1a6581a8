"""A page of a large spreadsheet while the job reads it: how far it is, and the page itself once it is there."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from fleet.models import OwnWorkbook

from .acts.workbooks import ask_reading
from .readings import StillReading
from .tasks import read_own_workbooks

View = Callable[[HttpRequest, UUID], HttpResponse]


def waiting(view: View) -> View:
    """The view, or while its spreadsheet is being read a page that says so and looks again by itself."""

    @wraps(view)
    def waits(request: HttpRequest, key: UUID) -> HttpResponse:
        try:
            answer = view(request, key)
        except StillReading:
            return _reading(request, key)
        if request.headers.get("HX-Target") == "reading":
            return HttpResponse(headers={"HX-Refresh": "true"})  # it is there: as a page of its own
        return answer

    return waits


def _reading(request: HttpRequest, key: UUID) -> HttpResponse:
    workbook = get_object_or_404(OwnWorkbook, key=key)
    if not workbook.is_reading_asked and (not workbook.reading_fault or "again" in request.GET):
        ask_reading(workbook=workbook)
        read_own_workbooks.delay_on_commit()
        workbook.refresh_from_db()
    return render(request, "fleet/moving_in/reading.html", {"workbook": workbook})
