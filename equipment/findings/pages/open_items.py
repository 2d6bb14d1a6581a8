"""Pages of what is open by a document: recorded by itself, closed by itself."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.cache import never_cache

from equipment.common import scanned
from equipment.common.pages.act import EITHER, PageWords, act_page
from equipment.findings.acts.open_items import CLOSE_ITEM, OPEN_ITEM
from equipment.findings.pages.opening_forms import CloseItemForm, DeferralForm
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, Place
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.models import Aircraft
from fleet.screens.act_pages import performed
from fleet.words.said import day_words

BACK = ("/open-items/", "All open items")


@EITHER
@never_cache
@reader
def open_item_new(request: HttpRequest) -> HttpResponse:
    """Records a defect that is deferred, or a position that stays open, without a swap."""
    initial = {"found_on": today(), "where": request.GET.get("at", "")[:60]}
    form = DeferralForm(request.POST or None, initial=initial)
    done = performed(request, OPEN_ITEM, form, lambda: _where(form.cleaned_data["where"]))
    if done is not None:
        messages.success(request, f"Open until {day_words(done.expires_on)}: {done.words}")
        return redirect("equipment:open_items")
    words = PageWords(
        "Record an open item",
        "A defect that is deferred, or a position that stays open, by a document and until a day. It falls"
        " due like anything else.",
        "Record it",
        *BACK,
    )
    return act_page(request, form, words)


def _where(text: str) -> dict[str, Any]:
    """The aircraft, and the position if the text names one; refuses what names neither."""
    craft = Aircraft.objects.filter(registration__iexact=text.strip()).first()
    if craft is not None:
        return {"aircraft_id": craft.pk}
    position = scanned.position_of(text)
    if position is None:
        words = "No aircraft, and no one position of an aircraft, is on record under that."
        raise Refused("unknown_place", words, "where")
    place = PlaceAt(Place.AIRCRAFT, aircraft_position_id=position.pk)
    return {"aircraft_id": position.aircraft_id, "place": place}


@EITHER
@never_cache
@reader
def open_item_close(request: HttpRequest, open_item_id: int) -> HttpResponse:
    """Closes what no swap closes by itself, saying by what."""
    item = get_object_or_404(OpenItem.objects.select_related("aircraft"), pk=open_item_id)
    form = CloseItemForm(request.POST or None, initial={"closed_on": today()})
    if performed(request, CLOSE_ITEM, form, open_item_id=item.pk) is not None:
        messages.success(request, f"Closed: {item.words}")
        return redirect("equipment:open_items")
    words = PageWords(
        "Close an open item",
        f"{item.words}. Open by {item.document}, until {day_words(item.expires_on)}. A position left open"
        " is closed by the release of the swap that fills it.",
        "Close it",
        *BACK,
        item.aircraft.registration,
    )
    return act_page(request, form, words)
