"""A unit is set aside by hand, for a need that no proposal knows or against what it proposes."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from equipment.availability.acts.reservations import RESERVE_UNIT
from equipment.availability.acts.using import asks_decision_of
from equipment.common import scanned
from equipment.common.pages.desk import redirect_with_message, unit_or_404
from equipment.common.wording import place_words, unit_words
from equipment.ledger.facts import PlaceAt
from equipment.stores.reads import unit as store_units
from equipment.stores.reads.clerk_day import proposed_for
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.screens.act_pages import performed

from .act_forms import SetAsideForm
from .parts import page


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def stores_reserve(request: HttpRequest, unit_id: int) -> HttpResponse:
    """Every reason against it is shown at once; what the proposal means the unit for is said before."""
    unit = unit_or_404(unit_id)
    begun = {name: request.GET.get(name, "") for name in ("place", "need_on")}
    form = SetAsideForm(request.POST or None, initial=begun)
    held = performed(
        request,
        RESERVE_UNIT,
        form,
        lambda: {"place": _position(form.cleaned_data["place"])},
        unit_id=unit.pk,
    )
    if held is not None:
        words = f"{unit_words(unit)} is set aside for {place_words(held.place)}."
        return redirect_with_message(request, words, "equipment:stores_reservation", held.pk)
    context = {
        "unit": store_units.told(unit, today(), timezone.now()),
        "heading": "Set it aside by hand",
        "button": "Set it aside",
        "meant_for": proposed_for(unit.pk, today()),
        "to_decide": asks_decision_of(unit_id=unit.pk, need_on=today(), at=timezone.now()),
    }
    return page(request, "equipment/stores/act.html", "reserve_unit", context, form)


def _position(named: str) -> PlaceAt:
    """The one position that was named; refuses none, and several."""
    if (found := scanned.position_of(named)) is not None:
        return PlaceAt("aircraft", aircraft_position_id=found.pk)
    words = "Name one position of one aircraft, as: Q7-VAB D1L-SLIDE."
    several = scanned.positions_of(named) if len(named.split()) > 1 else []
    if several:
        codes = ", ".join(each.type_position.code for each in several[:6])
        words = f"Several positions are meant: {codes}. Name one of them."
    raise Refused("unknown_place", words, "place")
