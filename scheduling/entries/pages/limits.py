"""Programmes and their limits in sentences; one limit, revision beside revision; a directive's units."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.templatetags.face import shows_demonstration
from fleet.words.said import day_words
from scheduling.due.exports import XLSX, csv_of, xlsx_of
from scheduling.entries.by_specification import cylinders_on_record
from scheduling.entries.compliance import COLUMNS, cells_of, compliance_of
from scheduling.entries.limits import Compared, compared, listed_on
from scheduling.models import Limit
from scheduling.programme.published import by_group


@require_safe
@reader
def limits(request: HttpRequest) -> HttpResponse:
    """Every limit in a sentence, by programme and kind."""
    context = {
        "programmes": listed_on(today()),
        "may_enter": may(request.user, "enter_programme"),  # type: ignore[arg-type]
    }
    return render(request, "scheduling/entries/limits.html", context)


def _found(limit_id: int) -> Compared:
    """The limit of which this is a revision, with all of them; 404 if there is none."""
    one = get_object_or_404(Limit, pk=limit_id)
    shown = compared(one.programme_id, one.code)
    assert shown is not None
    return shown


@require_safe
@reader
def limit(request: HttpRequest, limit_id: int) -> HttpResponse:
    """One limit: its revisions side by side, who entered each and why."""
    shown = _found(limit_id)
    context = {
        "shown": shown,
        "latest": shown.limits[0],
        "may_enter": may(request.user, "enter_programme"),  # type: ignore[arg-type]
    }
    return render(request, "scheduling/entries/limit.html", context)


def _directive(limit_id: int) -> Compared:
    shown = _found(limit_id)
    if not shown.limits[0].is_directive:
        raise Http404("This limit is no directive.")
    return shown


@require_safe
@reader
def compliance(request: HttpRequest, limit_id: int) -> HttpResponse:
    """A directive: each unit that it applies to with its case, the listed ones that are unknown."""
    shown = _directive(limit_id)
    context = {
        "shown": compliance_of(shown.limits[0], shown.latest),
        "latest": shown.limits[0],
        "may_decide": may(request.user, "disposition_directive"),  # type: ignore[arg-type]
        "today": today(),
    }
    return render(request, "scheduling/entries/compliance.html", context)


@require_safe
@reader
def compliance_export(request: HttpRequest, limit_id: int, form: str) -> HttpResponse:
    """The same as CSV or a workbook, with the listed numbers that no unit has."""
    if form not in {"csv", "xlsx"}:
        raise Http404("There is no such export.")
    shown = _directive(limit_id)
    lines = cells_of(compliance_of(shown.limits[0], shown.latest))
    if form == "csv":
        held, sort = "".join(csv_of(COLUMNS, lines)), "text/csv; charset=utf-8"
        response = HttpResponse(held, content_type=sort)
    else:
        what = ("Compliance", f"{shown.limits[0].document} as of {day_words(today())}")
        book = xlsx_of(COLUMNS, lines, what, shows_demonstration())
        response = HttpResponse(book, content_type=XLSX)
    named = f"compliance-{limit_id}-{today():%Y-%m-%d}.{form}"
    response["Content-Disposition"] = f'attachment; filename="{named}"'
    return response


@require_safe
@reader
def starting_points(request: HttpRequest) -> HttpResponse:
    """Published rules from which a limit may begin, each with its source."""
    context = {
        "groups": by_group(),
        "cylinders": cylinders_on_record(today()),
        "may_enter": may(request.user, "enter_programme"),  # type: ignore[arg-type]
    }
    return render(request, "scheduling/entries/starting_points.html", context)
