"""Doors of the stores: one for each act, and the stock list."""

from __future__ import annotations

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.responses import CertificateShown
from equipment.common.pages.proving import proof_by
from equipment.models import Certificate
from equipment.stores.acts.bins import stow_unit
from equipment.stores.acts.inspections import inspect_incoming
from equipment.stores.acts.issues import issue_unit
from equipment.stores.acts.late_papers import bring_paper
from equipment.stores.acts.receiving import receive
from equipment.stores.acts.shops import note_promise, return_from_shop, send_to_shop
from equipment.stores.reads.stock import StockAsked, counts, stock
from fleet.acts.act import filled
from fleet.acts.repeats import done_now, retry_after_clash
from fleet.doors.bodies import LargeJSON
from fleet.doors.door import Door, answer
from fleet.doors.schema import described
from fleet.house.desks import ask
from fleet.house.pages import today

from . import examples, requests, responses

TAG = "Stores"


class Stock(Door):
    @described(
        tag=TAG,
        name="list_stock",
        summary="Stock",
        description="Units in stores and quarantines, each with its bin, its state and every reason why "
        "it may not be used.",
        query=requests.StockAskedFor,
        answer=responses.StockListShown,
        example=examples.STOCK,
    )
    def get(self, request: Request) -> Response:
        asked = filled(StockAsked, self.asked(requests.StockAskedFor))
        rows = stock(asked, on=today(), at=timezone.now())
        found = {"counts": counts(rows), "results": rows}
        return Response(responses.StockListShown(found).data)


class Receipts(Door):
    parser_classes = [LargeJSON]

    @described(
        tag=TAG,
        name="receive_units",
        summary="Receive units",
        description="Receives units into quarantine, to be inspected, with one certificate for all lines or "
        "none. A number that looks like a known one is asked about (near_match) until it is confirmed.",
        takes=requests.ReceiptSent,
        sent=examples.RECEIPT_SENT,
        answer=responses.ReceivingShown,
        example=examples.RECEIVING,
        act="receive_unit",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.ReceiptSent), timezone.now()
        made = receive(by=self.person, at=at, **sent)
        return answer(responses.ReceivingShown(made).data, is_new=made.is_new)


class Inspections(Door):
    @described(
        tag=TAG,
        name="inspect_incoming",
        summary="Inspect a received unit",
        description="Signs what was found on receipt: the unit goes to stock, or stays tagged in "
        "quarantine. Given with username and password of whoever signs.",
        takes=requests.InspectionSent,
        sent=examples.INSPECTION_SENT,
        answer=responses.InspectionShown,
        example=examples.INSPECTION,
        act="inspect_incoming",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(requests.InspectionSent)
        ask(self.person, "inspect_incoming")
        proof = proof_by(request, sent)
        act_id, at = sent["act_id"], timezone.now()
        inspection = requests.InspectionSent.inspection(sent)
        made = inspect_incoming(proof=proof, inspection=inspection, act_id=act_id, at=at)
        is_new = done_now(act_id, "inspect_incoming", at)
        return answer(responses.InspectionShown(made).data, is_new=is_new)


class Orders(Door):
    @described(
        tag=TAG,
        name="send_to_shop",
        summary="Send a unit to a shop",
        description="Sends a unit under an order, with the works asked and the day promised.",
        takes=requests.OrderSent,
        sent=examples.ORDER_SENT,
        answer=responses.OrderShown,
        example=examples.ORDER,
        act="send_to_shop",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.OrderSent), timezone.now()
        made = retry_after_clash(lambda: send_to_shop(by=self.person, at=at, today=today(), **sent))
        is_new = done_now(sent["act_id"], "send_to_shop", at)
        return answer(responses.OrderShown(made).data, is_new=is_new)


class Promises(Door):
    @described(
        tag=TAG,
        name="note_promise",
        summary="Note a shop's promise",
        description="Notes what a shop promises now, or its answer to being chased.",
        takes=requests.PromiseSent,
        sent=examples.PROMISE_SENT,
        answer=responses.PromiseShown,
        example=examples.PROMISE,
        act="note_promise",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.PromiseSent), timezone.now()
        order = sent.pop("order")
        made = note_promise(by=self.person, order_id=order, at=at, today=today(), **sent)
        is_new = done_now(sent["act_id"], "note_promise", at)
        return answer(responses.PromiseShown(made).data, is_new=is_new)


class Returns(Door):
    parser_classes = [LargeJSON]

    @described(
        tag=TAG,
        name="return_from_shop",
        summary="Record a return from a shop",
        description="Ends a shop order: with its certificate the works restart their limits; the unit is in "
        "quarantine until it is inspected.",
        takes=requests.ReturnSent,
        sent=examples.RETURN_SENT,
        answer=responses.ReturnShown,
        example=examples.RETURN,
        act="return_from_shop",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.ReturnSent), timezone.now()
        made = return_from_shop(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "return_from_shop", at)
        return answer(responses.ReturnShown(made).data, is_new=is_new)


class LatePapers(Door):
    parser_classes = [LargeJSON]

    @described(
        tag=TAG,
        name="bring_paper",
        summary="Bring a certificate that comes late",
        description="Records a unit's certificate after its receipt, with its scan, the works that it certifies "
        "and the totals that it states. It moves nothing: the unit goes to stock by its inspection.",
        takes=requests.LatePaperSent,
        sent=examples.LATE_PAPER_SENT,
        answer=CertificateShown,
        example=examples.LATE_PAPER,
        act="record_certificate",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.LatePaperSent), timezone.now()
        made = bring_paper(by=self.person, at=at, today=today(), **sent)
        shown = Certificate.objects.get(pk=made.id)
        return answer(CertificateShown(shown).data, is_new=made.is_new)


class Bins(Door):
    @described(
        tag=TAG,
        name="stow_unit",
        summary="Put a unit into a bin",
        description="Records in which bin of its store, or of its quarantine, a unit lies.",
        takes=requests.BinSent,
        sent=examples.BIN_SENT,
        answer=responses.BinShown,
        example=examples.BIN,
        act="stow_unit",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(requests.BinSent)
        made = stow_unit(
            by=self.person,
            unit_id=sent["unit"],
            bin_name=sent["bin"],
            act_id=sent["act_id"],
            at=timezone.now(),
        )
        return answer(responses.BinShown(made).data, is_new=made.is_new)


class Issues(Door):
    @described(
        tag=TAG,
        name="issue_unit",
        summary="Issue a reserved unit",
        description="Hands a reserved unit over; a second call of the same person changes nothing.",
        takes=requests.IssueSent,
        sent=examples.ISSUE_SENT,
        answer=responses.IssueShown,
        example=examples.ISSUE,
        act="issue_unit",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.IssueSent), timezone.now()
        made = issue_unit(by=self.person, reservation_id=sent["reservation"], at=at)
        return answer(responses.IssueShown(made).data, is_new=made.issued_at == at)
