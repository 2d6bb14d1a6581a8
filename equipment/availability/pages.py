"""Pages of what is done beside a swap: a card entered, a bottle filled or discharged, a tool reported."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache

from equipment.availability.acts.fillings import record_discharge, record_filling
from equipment.common.pages.act import EITHER, _of_unit, _unit_or_404, act_page
from equipment.common.pages.desk import attempt
from equipment.common.pages.person import person
from equipment.models import Unit
from fleet.house.pages import reader, today

from .forms import DischargeForm, FillingForm

# --- paper ------------------------------------------------------------------------------------


# --- fillings, discharges, tools --------------------------------------------------------------


@EITHER
@never_cache
@reader
def unit_filling(request: HttpRequest, unit_id: int) -> HttpResponse:
    """Records that a bottle was filled; refused past its test or its life."""
    unit = _unit_or_404(unit_id)
    form = FillingForm(request.POST or None, initial={"done_on": today()})
    if request.method == "POST" and form.is_valid():
        use = form.use(is_empty=form.cleaned_data["is_empty"])
        done = attempt(
            form,
            lambda: record_filling(
                by=person(request), unit_id=unit.pk, use=use, act_id=form.act, at=timezone.now()
            ),
        )
        if done is not None:
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
    if request.method == "POST" and form.is_valid():
        done = attempt(form, lambda: _discharge(request, form, unit))
        if done is not None:
            return redirect("equipment:unit", unit_id=unit.pk)
    lead = "It is tagged unserviceable until the shop has had it, and what it was set aside for is freed."
    words = _of_unit(unit, "Record an inflation or discharge", lead, "Record it")
    return act_page(request, form, words)


def _discharge(request: HttpRequest, form: DischargeForm, unit: Unit) -> Any:
    given = form.cleaned_data
    return record_discharge(
        by=person(request),
        unit_id=unit.pk,
        use=form.use(),
        words=given["words"],
        act_id=form.act,
        at=timezone.now(),
        is_inflation=given["what"] == "inflation",
    )
