"""What people do in the stores: each act once, with the ways to it."""

from __future__ import annotations

from django.urls import reverse

from equipment.availability.acts.tags import TAG_UNIT
from equipment.common.doors.responses import CertificateShown
from equipment.models import Certificate
from equipment.stores.acts.bins import SAY_BIN, STOW_UNIT
from equipment.stores.acts.issues import BRING_BACK
from equipment.stores.acts.late_papers import BRING_PAPER
from equipment.stores.acts.receiving import RECEIVE
from equipment.stores.acts.returns import RETURN_FROM_SHOP
from equipment.stores.acts.shop_days import SAY_SHOP_DAYS
from equipment.stores.acts.shops import NOTE_PROMISE, SEND_TO_SHOP
from equipment.stores.doors import examples, requests, responses
from equipment.stores.pages.lists import about_bins
from equipment.stores.pages.shops import about_promise, about_sending, about_shops
from equipment.stores.pages.unit import about_issued, about_printed, about_stored, about_tagged
from equipment.units.acts.printing import BRING_TAG_BACK, PRINT_TAG
from fleet.doors.bodies import LargeJSON
from fleet.doors.requests import PLAIN
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import Page
from fleet.offers.sheet import Sheet

#: The look of the stores' own pages: the unit, or the order, over the form.
LOOK = "equipment/stores/act.html"

SENDING = Page(
    address="stores/units/<int:unit_id>/send/",
    name="stores_send",
    heading="Send it to a shop",
    button="It is sent",
    done=lambda done: (
        f"{done.about.subject} is sent to {done.made.shop} under order {done.made.number}."
    ),
    about=about_sending,
    known=("unit",),
    begins_today=("sent_on",),
    then=lambda done: reverse("equipment:stores_order", args=[done.made.pk]),
    template=LOOK,
)
PROMISE = Page(
    address="stores/shop/<int:order_id>/promise/",
    name="stores_promise",
    heading="Chase the shop",
    button="Note it",
    done="The promise is noted.",
    about=about_promise,
    known=("order",),
    template=LOOK,
)
BIN = Page(
    address="stores/units/<int:unit_id>/bin/",
    name="stores_stow",
    heading="Put it into a bin",
    button="It is in the bin",
    done=lambda done: f"{done.about.subject} is in bin {done.typed['bin']}.",
    about=about_stored,
    known=("unit",),
    template=LOOK,
)
BIN_USE = Page(
    address="stores/bins/",
    name="stores_bins",
    heading="Say what a bin is for",
    button="Save",
    done=lambda done: f"What bin {done.made.name} is for is saved.",
    about=about_bins,
    template="equipment/stores/lists/bins.html",
)
SHOP_DAYS = Page(
    address="stores/shops/days/",
    name="stores_shop_days",
    heading="Note that a shop is closed",
    lead="Nothing is sent there meanwhile. What is there already stays, with its promise.",
    button="Save",
    done=lambda done: f"{done.made.shop} is {done.made.get_sort_display()}.",
    about=about_shops,
    begins_today=("from_on",),
)
BIN_LINES = Sheet(
    name="Bins",
    purpose="Which kinds of equipment a bin of a station may hold.",
    order=95,
    example=[["QEX1", "R1-04", "EXSLIDE"]],
)
SHOP_DAYS_LINES = Sheet(
    name="Closed shops",
    purpose="Days on which a shop takes nothing.",
    order=94,
    example=[["Example Overhaul", "closed", "2024-08-01", "2024-08-21", "Moving."]],
)
TAG = Page(
    address="stores/units/<int:unit_id>/tag/",
    name="stores_tag",
    heading="Tag it",
    button="Tag it",
    done=lambda done: f"{done.about.subject} is tagged {done.made.get_sort_display()}.",
    about=about_tagged,
    known=("unit", "exposure", "preservation", "total_minutes", "total_cycles"),
    first=("sort", "why", "words", "actions_needed"),
    template=LOOK,
)

PRINT = Page(
    address="stores/units/<int:unit_id>/print-tag/",
    name="stores_print_tag",
    heading="Print its tag",
    lead="Each print has its number. Take off and destroy the print that it replaces.",
    button="Print it",
    done=lambda done: (
        f"Print {done.made.number} of {done.about.subject} is numbered: open it below, and hang it on the unit."
    ),
    about=about_stored,
    known=("unit",),
    template=LOOK,
)
TAG_BACK = Page(
    address="stores/printed/<int:printed_id>/back/",
    name="stores_tag_back",
    heading="Bring a tag back",
    button="It is taken off and destroyed",
    done=lambda done: f"The tag of {done.about.subject} is brought back.",
    about=about_printed,
    known=("printed",),
    template=LOOK,
)

BACK = Page(
    address="stores/reservations/<int:reservation_id>/back/",
    name="stores_bring_back",
    heading="Bring it back",
    button="Record the return",
    done=lambda done: f"{done.about.subject} is back.",
    about=about_issued,
    known=("reservation",),
    template=LOOK,
)

OFFERS = (
    Offer(
        RECEIVE,
        Api(
            takes=requests.ReceiptSent,
            shows=responses.ReceivingShown,
            example=examples.RECEIVING,
            parsers=[LargeJSON],
        ),
    ),
    Offer(SEND_TO_SHOP, Api(sent="OrderSent", about="A unit goes to a shop."), SENDING),
    Offer(NOTE_PROMISE, Api(sent="PromiseSent", about=PLAIN), PROMISE),
    Offer(SAY_SHOP_DAYS, Api(sent="ShopDaysSent"), SHOP_DAYS, SHOP_DAYS_LINES),
    Offer(RETURN_FROM_SHOP, Api(takes=requests.ReturnSent, parsers=[LargeJSON])),
    Offer(
        BRING_PAPER,
        Api(
            name="api-late-papers",
            takes=requests.LatePaperSent,
            shows=CertificateShown,
            example=examples.LATE_PAPER,
            parsers=[LargeJSON],
            ways={"shown": lambda entered: Certificate.objects.get(pk=entered.id)},
        ),
    ),
    Offer(BRING_BACK, Api(sent="BroughtBackSent"), BACK),
    Offer(SAY_BIN, Api(sent="BinUseSent"), BIN_USE, BIN_LINES),
    Offer(STOW_UNIT, Api(sent="BinSent", about=PLAIN), BIN),
    Offer(PRINT_TAG, Api(sent="TagPrintSent"), PRINT),
    Offer(BRING_TAG_BACK, Api(sent="TagBackSent"), TAG_BACK),
    # Programs tag by the door of the act's own room.
    Offer(TAG_UNIT, None, TAG),
)
