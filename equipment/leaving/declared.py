"""What people do with what leaves the shelf: each act once, with the ways to it."""

from __future__ import annotations

from django.urls import reverse

from equipment.leaving.acts.scrap import SCRAP_UNIT
from equipment.leaving.acts.transfers import RECEIVE_TRANSFER, SEND_TRANSFER
from equipment.leaving.doors import Transfers
from equipment.leaving.pages import about_arrival, about_leaving, about_transfer_of
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import Page

SCRAP = Page(
    address="stores/units/<int:unit_id>/scrap/",
    name="stores_scrap",
    heading="Scrap it",
    lead="It is condemned for good and leaves the stock: nobody makes it serviceable again.",
    button="It is scrapped",
    done=lambda done: f"{done.about.subject} is scrapped.",
    about=about_leaving,
    known=("unit",),
    begins_today=("scrapped_on",),
)
SEND = Page(
    address="stores/units/<int:unit_id>/transfer/",
    name="stores_transfer_send",
    heading="Send it to another station",
    button="It is sent",
    done=lambda done: (
        f"{done.about.subject} is in transit to {done.made.station.code}: print its paper."
    ),
    about=about_transfer_of,
    known=("unit",),
    begins_today=("sent_on",),
    then=lambda done: reverse("equipment:stores_transfers"),
)
ARRIVE = Page(
    address="stores/transfers/<int:transfer_id>/",
    name="stores_transfer",
    heading="Receive a transfer",
    button="It is here",
    done=lambda done: f"{done.about.subject} is received.",
    about=about_arrival,
    known=("transfer",),
    begins_today=("received_on",),
)

OFFERS = (
    Offer(SCRAP_UNIT, Api(sent="ScrappingSent"), SCRAP),
    Offer(SEND_TRANSFER, Api(sent="TransferSent", base=Transfers), SEND),
    Offer(RECEIVE_TRANSFER, Api(sent="TransferReceiptSent"), ARRIVE),
)
