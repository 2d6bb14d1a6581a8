"""A position is left open by a document, or its unit is taken from another aircraft, whose position is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.common import scanned
from equipment.common.pages.person import page, person
from equipment.findings.acts.open_items import OPEN_ITEM
from equipment.findings.acts.openings import Opening
from equipment.findings.acts.robbing import ROB_UNIT
from equipment.findings.pages.opening_forms import DocumentedRobberyForm, OpeningForm, RobberyForm
from equipment.ledger.facts import PlaceAt, When
from equipment.models import Place
from equipment.swaps.pages.parts import others, swap_or_404
from equipment.swaps.pages.shown import swap_page
from fleet.acts.act import filled
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.screens.act_pages import performed

EITHER = require_http_methods(["GET", "HEAD", "POST"])


@EITHER
@never_cache
@reader
def swap_leave_open(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Leaves the position of a swap open, by a document and until a day."""
    shown = swap_page(swap_or_404(swap_id))
    form = OpeningForm(request.POST or None, initial={"found_on": today()})
    if performed(request, OPEN_ITEM, form, swap_id=swap_id) is not None:
        return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown,
        "form": form,
        "others": others(request, shown.swap),
        "heading": "Leave the position open",
        "lead": "Nothing is fitted for now. The document that allows it, and the last day, go on the due list.",
        "button": "Leave it open",
    }
    return page(request, "equipment/swaps/reason.html", context, form)


@EITHER
@never_cache
@reader
def swap_rob(request: HttpRequest, swap_id: int) -> HttpResponse:
    """Takes a unit off another aircraft for this swap; the donor's position is left open."""
    shown = swap_page(swap_or_404(swap_id))
    may_defer = may(person(request), "open_item")
    form_type = DocumentedRobberyForm if may_defer else RobberyForm
    form = form_type(request.POST or None, initial={"found_on": today(), "happened_on": today()})
    done = performed(
        request, ROB_UNIT, form, lambda: _taken(form.cleaned_data), for_swap_id=swap_id
    )
    if done is not None:
        return redirect("equipment:swap", swap_id=swap_id)
    context = {
        "swap": shown,
        "form": form,
        "others": others(request, shown.swap),
        "heading": "Take a unit from another aircraft",
        "lead": f"It is taken off there, lies in this station's store, and goes on here as any other."
        f" {_BY_DOCUMENT if may_defer else _WITHOUT_DOCUMENT}",
        "button": "Record the robbery",
    }
    return page(request, "equipment/swaps/reason.html", context, form)


_BY_DOCUMENT = "The donor's position stays open by the document below."
_WITHOUT_DOCUMENT = (
    "The controller or certifying staff say by which document the donor's position stays open: until"
    " then that aircraft is not releasable."
)


def _taken(given: Mapping[str, Any]) -> dict[str, Any]:
    """Which unit, from where and when: the one named, else the one recorded there; of today it comes off
    now, of another day on that day. Refuses a text that names no one position, or nothing inside it."""
    position, unit, named = scanned.unit_named_at(given["donor"])
    if position is None:
        words = (
            "Name one position of one aircraft at which a unit is recorded, as: Q7-VAB D1L-SLIDE."
        )
        raise Refused("unknown_place", words, "donor")
    if named and unit is None:
        words = f"No one unit inside what is at {position.type_position.code} is “{named}”: name the position alone, or what is inside it."
        raise Refused("unknown_unit", words, "donor")
    whole = PlaceAt(Place.AIRCRAFT, aircraft_position_id=position.pk)
    is_now = given["happened_on"] == timezone.now().date()
    return {
        "donor_place": unit.place_id if unit is not None else whole,
        "unit_id": unit.pk if unit is not None else None,
        "when": None if is_now else When.on(given["happened_on"]),
        "opening": filled(Opening, given) if "document" in given else None,
    }
