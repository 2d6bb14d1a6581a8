"""What people do with what leaves the shelf: each act once, with the ways to it."""

from __future__ import annotations

from django.urls import reverse

from equipment.leaving.acts.loans import END_LOAN, LEND_UNIT
from equipment.leaving.acts.pieces import JOIN_LOTS, USE_PIECES
from equipment.leaving.acts.scrap import SCRAP_UNIT
from equipment.leaving.acts.sent_back import SEND_BACK, SEND_CORE
from equipment.leaving.acts.transfers import RECEIVE_TRANSFER, SEND_TRANSFER
from equipment.leaving.doors import Loans, Transfers
from equipment.leaving.owed_pages import about_loan, about_loan_of, about_title
from equipment.leaving.pages import (
    about_arrival,
    about_leaving,
    about_lot,
    about_transfer_of,
)
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
LEND = Page(
    address="stores/units/<int:unit_id>/lend/",
    name="stores_lend",
    heading="Lend it out",
    button="It is lent",
    done=lambda done: f"{done.about.subject} is lent to {done.made.party}.",
    about=about_loan_of,
    known=("unit",),
    begins_today=("lent_on",),
    then=lambda done: reverse("equipment:stores_owed"),
)
LOAN = Page(
    address="stores/loans/<int:loan_id>/",
    name="stores_loan",
    heading="Record a loan back",
    button="Record the return",
    done=lambda done: f"{done.about.subject} is back: it waits for its inspection.",
    about=about_loan,
    known=("loan",),
    begins_today=("returned_on",),
)
UNIT_BACK = Page(
    address="stores/owed/<int:title_id>/unit/",
    name="stores_send_back",
    heading="Send it back to its owner",
    button="It is sent back",
    done=lambda done: f"{done.about.subject} is sent back: it is owed no longer.",
    about=about_title,
    known=("title",),
    begins_today=("sent_on",),
)
CORE_BACK = Page(
    address="stores/owed/<int:title_id>/core/",
    name="stores_send_core",
    heading="Send a core for it",
    button="The core is sent",
    done=lambda done: f"The core for {done.about.subject} is sent: it is owed no longer.",
    about=about_title,
    known=("title",),
    begins_today=("sent_on",),
    first=("core",),
)
USE = Page(
    address="stores/units/<int:unit_id>/use-up/",
    name="stores_use_pieces",
    heading="Use up pieces of it",
    lead="They stay on record as used up, for the job that you name.",
    button="They are used up",
    done=lambda done: f"{done.made.quantity} of {done.about.subject} are used up.",
    about=about_lot,
    known=("lot",),
    begins_today=("used_on",),
)
JOIN = Page(
    address="stores/units/<int:unit_id>/join/",
    name="stores_join_lots",
    heading="Join it to another of its lot",
    lead="For what was split off and is not needed apart: the other lot has its pieces then.",
    button="They are one lot",
    done=lambda done: f"{done.made.unit} has {done.made.quantity} pieces now.",
    about=about_lot,
    known=("lot",),
    then=lambda done: reverse("equipment:stores_unit", args=[done.made.unit_id]),
)

OFFERS = (
    Offer(SCRAP_UNIT, Api(sent="ScrappingSent"), SCRAP),
    Offer(SEND_TRANSFER, Api(sent="TransferSent", base=Transfers), SEND),
    Offer(RECEIVE_TRANSFER, Api(sent="TransferReceiptSent"), ARRIVE),
    Offer(LEND_UNIT, Api(sent="LoanSent", base=Loans), LEND),
    Offer(END_LOAN, Api(sent="LoanEndSent"), LOAN),
    Offer(SEND_BACK, Api(sent="UnitSentBackSent"), UNIT_BACK),
    Offer(SEND_CORE, Api(sent="CoreSentBackSent"), CORE_BACK),
    Offer(USE_PIECES, Api(sent="PiecesUsedSent"), USE),
    Offer(JOIN_LOTS, Api(sent="LotsJoinedSent"), JOIN),
)
