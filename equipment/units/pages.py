"""The pages of units. What is due of them is composed in the templates."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from equipment.availability.bottles import bottle_standing
from fleet.house.pages import reader, today, wants_part

from . import histories, reads
from .cylinder import cylinder_of
from .lives import lines_of
from .ports import life_totals_of
from .standing import standing_of


@require_safe
@reader
@vary_on_headers("HX-Request")
def unit_list(request: HttpRequest) -> HttpResponse:
    """Units found by part number or serial number, as a plate or a label has them."""
    asked = reads.Asked.of(request.GET)
    found = reads.found(asked)
    context = {
        "asked": asked,
        "units": found.units,
        "is_more": found.is_more,
        "is_near": found.is_near,
        "options": reads.options(),
    }
    part, whole = "equipment/units/_list.html", "equipment/units/list.html"
    return render(request, part if wants_part(request) else whole, context)


@require_safe
@reader
def unit(request: HttpRequest, unit_id: int) -> HttpResponse:
    """One unit: what and where it is, its limits, its whole history, its papers."""
    shown = get_object_or_404(reads.whole_units(), pk=unit_id)
    if shown.merged_into_id:
        return redirect("equipment:unit", unit_id=shown.merged_into_id)
    unit_ids = [shown.pk, *shown.absorbed.values_list("pk", flat=True)]
    context = {
        "unit": shown,
        "unit_ids": unit_ids,
        "where": reads.whereabouts(shown),
        "inside": reads.inside(shown),
        "entries": histories.entries_of(unit_ids),
        "cylinder": cylinder_of(shown),
        "bottle": bottle_standing(shown, today()),
        "in_service": lines_of(life_totals_of([shown.pk], today()).get(shown.pk)),
        "standing": standing_of(shown, today(), timezone.now()),
        "today": today(),
    }
    return render(request, "equipment/units/unit.html", context)
