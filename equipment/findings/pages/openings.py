"""A position is left open by a document, or its unit is taken from another aircraft, whose position is."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common import scanned
from equipment.common.pages.desk import attempt
from equipment.common.pages.person import page, person
from equipment.findings.acts.open_items import open_item, rob_unit
from equipment.findings.pages.opening_forms import OpeningForm, RobberyForm
from equipment.ledger.facts import PlaceAt, When
from equipment.models import Place
from equipment.swaps.pages.parts import others, swap_or_404
from equipment.swaps.pages.shown import swap_page
from fleet.house.pages import reader, today

EITHER = require_http_methods(["GET", "HEAD", "POST"])


@EITHER
@never_cache
@reader
def swap_leave_open(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Leaves the position of a swap open, by a document and until a day."""
    shown = swap_page(swap_or_404(swap_id))
    form = OpeningForm(request.POST or None, initial={"found_on": today()})
    if request.method == "POST" and form.is_valid():
        done = attempt(
            form,
            lambda: open_item(
                by=person(request),
                opening=form.opening,
                act_id=form.act,
                at=timezone.now(),
                swap_id=swap_id,
            ),
        )
        if done is not None:
            return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown,
        "form": form,
        "others": others(request, shown.swap),
        "heading": "Leave the position open",
        "lead": "Nothing is fitted for now. The document that allows it, and the last day, go on the due list.",
        "button": "Leave it open",
    }
    return page(request, "swap_reason", context, form)


@EITHER
@never_cache
@reader
def swap_rob(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Takes a unit off another aircraft for this swap; the donor's position is left open."""
    shown = swap_page(swap_or_404(swap_id))
    form = RobberyForm(request.POST or None, initial={"found_on": today(), "happened_on": today()})
    if request.method == "POST" and form.is_valid():
        donor = _donor(form)
        done = donor and attempt(form, lambda: _rob(request, form, swap_id, donor))
        if done:
            return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown,
        "form": form,
        "others": others(request, shown.swap),
        "heading": "Take a unit from another aircraft",
        "lead": "It is taken off there, lies in this station's store, and goes on here as any other."
        " The donor's position stays open by the document below.",
        "button": "Record the robbery",
    }
    return page(request, "swap_reason", context, form)


def _donor(form: RobberyForm) -> PlaceAt | None:
    """The donor's position; None with the fault on the form."""
    position = scanned.position_of(form.cleaned_data["donor"])
    if position is not None:
        return PlaceAt(Place.AIRCRAFT, aircraft_position_id=position.pk)
    words = "Name one position of one aircraft at which a unit is recorded, as: Q7-VAB D1L-SLIDE."
    form.add_error("donor", ValidationError(words, code="unknown_place"))
    return None


def _rob(request: HttpRequest, form: RobberyForm, swap_id: int, donor: PlaceAt) -> Any:
    """The unit recorded there; of today it comes off now, of another day on that day."""
    given, at = form.cleaned_data, timezone.now()
    is_now = given["happened_on"] == at.date()
    return rob_unit(
        by=person(request),
        for_swap_id=swap_id,
        donor_place=donor,
        unit_id=None,
        when=None if is_now else When.on(given["happened_on"]),
        opening=form.opening,
        act_id=form.act,
        at=at,
        log_page=given["log_page"],
    )
