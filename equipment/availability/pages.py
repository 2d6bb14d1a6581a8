"""Pages of what is done beside a swap: a bottle filled, a slide inflated or a bottle discharged."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.cache import never_cache

from equipment.availability.acts.fillings import RECORD_DISCHARGE, RECORD_FILLING
from equipment.common.pages.act import EITHER, _of_unit, _unit_or_404, act_page
from fleet.house.pages import reader, today
from fleet.screens.act_pages import performed

from .forms import DischargeForm, FillingForm


@EITHER
@never_cache
@reader
def unit_filling(request: HttpRequest, unit_id: int) -> HttpResponse:
    """Records that a bottle was filled; refused past its test or its life."""
    unit = _unit_or_404(unit_id)
    form = FillingForm(request.POST or None, initial={"done_on": today()})
    if performed(request, RECORD_FILLING, form, unit_id=unit.pk) is not None:
        return redirect("equipment:unit", unit_id=unit.pk)
    lead = "Each filling is counted. Past its test month a bottle may stay until emptied, but is not filled."
    return act_page(request, form, _of_unit(unit, "Record a filling", lead, "Record the filling"))


@EITHER
@never_cache
@reader
def unit_discharge(request: HttpRequest, unit_id: int) -> HttpResponse:
    """Records that a slide was inflated or a bottle discharged: to the shop before it is used again."""
    unit = _unit_or_404(unit_id)
    form = DischargeForm(request.POST or None, initial={"done_on": today()})
    done = performed(
        request,
        RECORD_DISCHARGE,
        form,
        lambda: {"sort": form.cleaned_data["what"]},
        unit_id=unit.pk,
    )
    if done is not None:
        return redirect("equipment:unit", unit_id=unit.pk)
    lead = "It is tagged unserviceable until the shop has had it, and what it was set aside for is freed."
    words = _of_unit(unit, "Record an inflation or discharge", lead, "Record it")
    return act_page(request, form, words)
