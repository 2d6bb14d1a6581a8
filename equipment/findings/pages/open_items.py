"""What the pages of open items are about: recorded by itself, closed by itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.common import scanned
from equipment.judging.deferral import every_words
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, Place
from fleet.house.refusals import Refused
from fleet.models import Aircraft
from fleet.offers.page import About
from fleet.words.said import day_words

BACK_LABEL = "All open items"


def about_new(request: HttpRequest) -> About:
    """Where it is open may stand in the query."""
    return About(
        starts={"where": request.GET.get("at", "")[:60]},
        back=reverse("equipment:open_items"),
        back_label=BACK_LABEL,
    )


def where_open(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The aircraft, and the position if the text names one; refuses what names neither."""
    text = typed["where"]
    craft = Aircraft.objects.filter(registration__iexact=text.strip()).first()
    if craft is not None:
        return {"aircraft_id": craft.pk}
    position = scanned.position_of(text)
    if position is None:
        words = "No aircraft, and no one position of an aircraft, is on record under that."
        raise Refused("unknown_place", words, "where")
    place = PlaceAt(Place.AIRCRAFT, aircraft_position_id=position.pk)
    return {"aircraft_id": position.aircraft_id, "place": place}


def about_item(request: HttpRequest, open_item_id: int) -> About:
    """The open item of the address; 404 if there is none."""
    item = get_object_or_404(OpenItem.objects.select_related("aircraft"), pk=open_item_id)
    return About(
        given={"open_item_id": item.pk},
        subject=item.aircraft.registration,
        lead=f"{item.words}. Open by {item.document}, until {day_words(item.expires_on)}. A position left"
        " open is closed by the release of the swap that fills it.",
        back=reverse("equipment:open_items"),
        back_label=BACK_LABEL,
    )


def about_repeated(request: HttpRequest, open_item_id: int) -> About:
    """The open item of the address, and what is repeated while it is open."""
    about = about_item(request, open_item_id)
    item = OpenItem.objects.get(pk=open_item_id)
    every = every_words(item.repeat_days, item.repeat_hours)
    action = ", ".join(filter(None, (item.repeat_actions.rstrip("."), every)))
    return replace(about, lead=f"{item.words}. Repeated while it is open: {action or 'nothing'}.")
