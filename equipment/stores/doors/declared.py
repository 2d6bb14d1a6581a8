"""Doors made from the declarations of the stores' acts."""

from __future__ import annotations

from equipment.common.doors.responses import CertificateShown
from equipment.ledger.facts import Entered
from equipment.models import Certificate
from equipment.stores.acts.bins import STOW_UNIT
from equipment.stores.acts.late_papers import BRING_PAPER
from equipment.stores.acts.receiving import RECEIVE
from equipment.stores.acts.returns import RETURN_FROM_SHOP
from equipment.stores.acts.shops import NOTE_PROMISE, SEND_TO_SHOP
from fleet.doors.acts import act_door, act_path
from fleet.doors.bodies import LargeJSON

from . import examples, requests, responses


def _certificate(entered: Entered) -> Certificate:
    return Certificate.objects.get(pk=entered.id)


receipts = act_door(
    RECEIVE,
    requests.ReceiptSent,
    responses.ReceivingShown,
    examples.RECEIVING,
    parsers=[LargeJSON],
)
orders = act_door(SEND_TO_SHOP, requests.OrderSent, responses.OrderShown, examples.ORDER)
promises = act_door(NOTE_PROMISE, requests.PromiseSent, responses.PromiseShown, examples.PROMISE)
returns = act_door(
    RETURN_FROM_SHOP,
    requests.ReturnSent,
    responses.ReturnShown,
    examples.RETURN,
    parsers=[LargeJSON],
)
papers = act_door(
    BRING_PAPER,
    requests.LatePaperSent,
    CertificateShown,
    examples.LATE_PAPER,
    shown=_certificate,
    parsers=[LargeJSON],
)
bins = act_door(STOW_UNIT, requests.BinSent, responses.BinShown, examples.BIN)

urlpatterns = [
    act_path(RECEIVE, receipts, "api-receipts"),
    act_path(SEND_TO_SHOP, orders, "api-orders"),
    act_path(NOTE_PROMISE, promises, "api-promises"),
    act_path(RETURN_FROM_SHOP, returns, "api-returns"),
    act_path(BRING_PAPER, papers, "api-late-papers"),
    act_path(STOW_UNIT, bins, "api-bins"),
]
