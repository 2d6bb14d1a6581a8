"""What is bought: each act once, with the ways to it."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.buying.acts.requests import NOTE_PURCHASE, REQUEST_PURCHASE
from equipment.buying.reads import open_requests, requests, told
from equipment.models import PurchaseRequest
from fleet.doors.door import Door
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown
from fleet.house.pages import today
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from fleet.offers.sheet import Sheet

MOST_STARTS = 300


def about_requests(request: HttpRequest) -> About:
    """What is asked for; a part, a number and a reason may stand in the address, as the list of what to order has them."""
    asked = {
        name: request.GET.get(name, "")[:MOST_STARTS] for name in ("part_number", "quantity", "why")
    }
    return About(
        starts={name: value for name, value in asked.items() if value},
        back=reverse("equipment:stores_buying"),
        shown=lambda: {"asked": open_requests(today())},
    )


def about_request(request: HttpRequest, request_id: int) -> About:
    """The request of the address; 404 if there is none."""
    found = get_object_or_404(requests(), pk=request_id)
    told_now = told(found, today())
    return About(
        given={"request_id": found.pk},
        subject=f"{found.quantity} of {found.part_number.number}",
        lead=f"{found.why} Now: {told_now.state}, {told_now.open} still open.",
        back=reverse("equipment:stores_buying"),
    )


class PurchaseShown(RowShown):
    of = PurchaseRequest
    shows = "id part_number.number quantity station.code wanted_on why requested_at"


class Purchases(Door):
    get = listed(
        "list_purchase_requests",
        tag="Stores",
        summary="What is asked to be bought",
        description="Every request, the received and withdrawn ones too, in their order.",
        shows=PurchaseShown,
        example={
            "id": 6,
            "part_number": "HS-4410-3",
            "quantity": 2,
            "station": "LYD",
            "wanted_on": "2099-06-01",
            "why": "Two short in July.",
            "requested_at": "2024-03-01T10:00:00Z",
        },
        rows=PurchaseRequest.objects.all,
        order=("pk",),
    )


REQUEST = Page(
    address="stores/buying/",
    name="stores_buying",
    heading="To be bought",
    button="Ask for it",
    done="It is asked for.",
    about=about_requests,
    template="equipment/buying/requests.html",
)
STEP = Page(
    address="stores/buying/<int:request_id>/",
    name="stores_purchase",
    heading="Note how far it is",
    button="Note it",
    done=lambda done: f"{done.about.subject}: {done.made.get_sort_display()}.",
    about=about_request,
    known=("request",),
)

LINES = Sheet(
    name="Purchase requests",
    purpose="What is asked to be bought: so many of a part, and why.",
    order=96,
    example=[["EX-20", "2", "Two short in July.", "QEX1", "2099-06-01", ""]],
)

OFFERS = (
    Offer(REQUEST_PURCHASE, Api(sent="PurchaseRequestSent", base=Purchases), REQUEST, LINES),
    Offer(NOTE_PURCHASE, Api(sent="PurchaseStepSent"), STEP),
)
