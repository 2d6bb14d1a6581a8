"""Pages of what is open by a document: recorded by itself, closed by itself."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache

from equipment.common import scanned
from equipment.common.pages.act import EITHER, PageWords, act_page
from equipment.common.pages.desk import attempt
from equipment.common.pages.person import person
from equipment.findings.acts.open_items import close_item, open_item
from equipment.findings.pages.opening_forms import CloseItemForm, DeferralForm
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, Place
from fleet.house.pages import reader, today
from fleet.models import Aircraft
from fleet.words.said import day_words

BACK = ("/open-items/", "All open items")


@EITHER
@never_cache
@reader
def open_item_new(request: HttpRequest) -> HttpResponse:
    """Records a defect that is deferred, or a position that stays open, without a swap."""
    initial = {"found_on": today(), "where": request.GET.get("at", "")[:60]}
    form = DeferralForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        where = _where(form)
        done = where and attempt(
            form,
            lambda: open_item(
                by=person(request),
                opening=form.opening,
                act_id=form.act,
                at=timezone.now(),
                aircraft_id=where[0],
                place=where[1],
            ),
        )
        if done:
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


def _where(form: DeferralForm) -> tuple[int, PlaceAt | None] | None:
    """(aircraft, place or None) that the text names; None with the fault on the form."""
    text = form.cleaned_data["where"]
    craft = Aircraft.objects.filter(registration__iexact=text.strip()).first()
    if craft is not None:
        return craft.pk, None
    position = scanned.position_of(text)
    if position is None:
        words = "No aircraft, and no one position of an aircraft, is on record under that."
        form.add_error("where", ValidationError(words, code="unknown_place"))
        return None
    return position.aircraft_id, PlaceAt(Place.AIRCRAFT, aircraft_position_id=position.pk)


@EITHER
@never_cache
@reader
def open_item_close(request: HttpRequest, open_item_id: int) -> HttpResponse:
    """Closes what no swap closes by itself, saying by what."""
    item = get_object_or_404(OpenItem.objects.select_related("aircraft"), pk=open_item_id)
    form = CloseItemForm(request.POST or None, initial={"closed_on": today()})
    if request.method == "POST" and form.is_valid():
        closed = attempt(
            form,
            lambda: close_item(
                by=person(request),
                open_item_id=item.pk,
                act_id=form.act,
                at=timezone.now(),
                words=form.cleaned_data["words"],
                closed_on=form.cleaned_data["closed_on"],
            ),
        )
        if closed is not None:
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
