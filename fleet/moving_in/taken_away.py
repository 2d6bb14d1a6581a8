"""What is taken away from the comparison of an own spreadsheet, as workbooks."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from fleet.house.pages import reader, today
from fleet.intake.problems import UnreadableFile
from fleet.loading.acts.loads import kept_path, most_bytes
from fleet.loading.own import sheets_in
from fleet.loading.pages import XLSX
from fleet.models import Load, LoadLine
from fleet.own_sheets.beside.given_back import differing_dates, marked


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
    load = get_object_or_404(Load, key=key)
    file = load.files.order_by("pk").first()
    if load.own_said is None or file is None:
        raise Http404
    reasons: dict[str, dict[int, tuple[set[str], list[str]]]] = {}
    refused = LoadLine.objects.filter(load=load, outcome="refused", row__gt=0).order_by("row", "pk")
    for line in refused:
        cells, words = reasons.setdefault(line.sheet, {}).setdefault(line.row, (set(), []))
        cells.add(line.cell)
        if line.message not in words:
            words.append(line.message)
    try:
        raws = sheets_in(kept_path(file), file.name, most_bytes())
    except (UnreadableFile, OSError) as error:
        raise Http404 from error
    return _workbook(marked(raws, reasons), f"returned-{today():%Y-%m-%d}.xlsx")


def _workbook(content: bytes, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=XLSX)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
