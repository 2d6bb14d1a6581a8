"""The step lists on record: which are in force for what, and the steps of each."""

from __future__ import annotations

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from equipment.models import StepList
from equipment.procedures.reads import kinds_without_list
from fleet.house.desks import may
from fleet.house.pages import reader, today

MOST = 500


@require_safe
@reader
def step_lists(request: HttpRequest) -> HttpResponse:
    """Every list with its document and first day, the newest of each code first; kinds that lack one on top."""
    rows = StepList.objects.select_related("kind", "part_number").annotate(count=Count("steps"))
    context = {
        "rows": rows.order_by("kind__name", "code", "-from_on", "-pk")[:MOST],
        "lacking": kinds_without_list(today()),
        "may_enter": may(person(request), "enter_procedures"),
    }
    return render(request, "equipment/procedures/lists.html", context)


@require_safe
@reader
def step_list(request: HttpRequest, list_id: int) -> HttpResponse:
    """One list with its steps in their order."""
    shown = get_object_or_404(StepList.objects.select_related("kind", "part_number"), pk=list_id)
    context = {"list": shown, "steps": shown.steps.order_by("number")}
    return render(request, "equipment/procedures/list.html", context)
