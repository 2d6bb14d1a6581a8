"""What is taken away from the comparison of an own spreadsheet, as workbooks."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.loading.pages import XLSX
from fleet.loading.returned import returned_workbook
from fleet.models import Load
from fleet.own_sheets.beside.given_back import differing_dates


@require_safe
@reader
def load_beside(request: HttpRequest, key: UUID) -> HttpResponse:
    """Every date of the spreadsheet that differs from the reckoned one, with its reason."""
    load = get_object_or_404(Load, key=key)
    return _workbook(differing_dates(load.beside), f"dates-beside-{today():%Y-%m-%d}.xlsx")


@require_safe
@reader
def load_returned(request: HttpRequest, key: UUID) -> HttpResponse:
    """The own spreadsheet back: refused lines marked, with their reasons in a column."""
    load = get_object_or_404(Load, key=key, own_said__isnull=False)
    try:
        book = returned_workbook(load)
    except Refused as refused:
        raise Http404(refused.message) from refused
    return _workbook(book, f"returned-{today():%Y-%m-%d}.xlsx")


def _workbook(content: bytes, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=XLSX)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
