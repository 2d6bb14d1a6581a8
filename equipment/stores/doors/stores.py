"""Doors of the stores: one for each act, and the stock list."""

from __future__ import annotations

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.pages.proving import proof_by
from equipment.stores.acts.inspections import inspect_incoming
from equipment.stores.acts.issues import issue_unit
from equipment.stores.reads.issued import issued_units
from equipment.stores.reads.stock import StockAsked, counts, stock
from fleet.acts.act import filled
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer
from fleet.doors.lists import listed
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


class Issues(Door):
    get = listed(
        "list_issued",
        tag=TAG,
        summary="Units issued and not yet fitted",
        description="Handed over, to whom and for which job, and neither fitted nor brought back.",
        shows=responses.IssueShown,
        example=examples.ISSUE,
        rows=issued_units,
        order=("issued_at", "pk"),
    )

    @described(
        tag=TAG,
        name="issue_unit",
        summary="Issue a reserved unit",
        description="Hands a reserved unit over; a second call of the same person changes nothing. One that is "
        "not complete, or of which a limit is unknown, needs a decision: who decided, and why.",
        takes=requests.IssueSent,
        sent=examples.ISSUE_SENT,
        answer=responses.IssueShown,
        example=examples.ISSUE,
        act="issue_unit",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.IssueSent), timezone.now()
        said = {name: sent[name] for name in ("to", "job", "decision")}
        made = issue_unit(by=self.person, reservation_id=sent["reservation"], at=at, **said)
        return answer(responses.IssueShown(made).data, is_new=made.issued_at == at)
