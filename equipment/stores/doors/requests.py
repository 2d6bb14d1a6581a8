"""What the doors of the stores take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.fields import MOST_PASSWORD
from equipment.common.doors.files import FileSent
from equipment.common.doors.responses import UnitKey
from equipment.models import IncomingInspection
from equipment.stores.acts import facts
from equipment.stores.acts.inspections import CHECKS
from equipment.stores.acts.late_papers import BRING_PAPER
from equipment.stores.acts.receiving import RECEIVE
from equipment.stores.acts.returns import RETURN_FROM_SHOP
from equipment.stores.reads.stock import StockAsked
from fleet.doors.fields import Shape, StrictBoolean, StrictInteger, StrictText
from fleet.doors.requests import ACT_ID, act_request_of, query_of, request_of


def text(most: int, **more: Any) -> StrictText:
    """A text that may be left out."""
    return StrictText(required=False, default="", allow_blank=True, max_length=most, **more)


class Terms(serializers.ListSerializer[Any]):
    """Terms of block 11 with the works that they stand for: read as works by term."""

    def to_internal_value(self, data: Any) -> Any:
        return {each["term"]: tuple(each["works"]) for each in super().to_internal_value(data)}


class TermSent(Shape):
    """The operator's data: which works a term of block 11 stands for."""

    term = StrictText(max_length=40)
    works = serializers.ListField(child=StrictText(max_length=24), max_length=50)

    class Meta:
        list_serializer_class = Terms


MAY_BE_NULL: dict[str, Any] = {"required": False, "allow_null": True, "default": None}
ANY_NUMBER: dict[str, Any] = {"many": True, "required": False, "default": list}

CertifiedWorkSent = request_of(
    facts.WorkFact, "CertifiedWorkSent", "A work that the certificate certifies."
)
TotalSent = request_of(
    facts.TotalFact, "TotalSent", "A total as the certificate states it, in minutes or a count."
)
PaperSent = request_of(
    facts.Paper,
    "PaperSent",
    "A release certificate as printed.",
    file=FileSent(**MAY_BE_NULL, help_text="Its scan."),
)
TitleSaidSent = request_of(facts.TitleSaid, "TitleSaidSent", "Whose the unit is.")


def certified() -> dict[str, Any]:
    """The shapes of what a certificate certifies and states, where a request has them."""
    return {
        "certifies": TermSent(many=True, required=False, default=dict),
        "works": CertifiedWorkSent(**ANY_NUMBER),
        "totals": TotalSent(**ANY_NUMBER),
    }


CameInsideSent = request_of(facts.CameInside, "CameInsideSent", "A unit that came inside.")
LineSent = request_of(
    facts.ReceiptLine,
    "LineSent",
    "One unit or lot that came in, by its scanned code, by hand, or both.",
    inside=CameInsideSent(**ANY_NUMBER),
    **certified(),
)
ReceiptSent = act_request_of(
    RECEIVE,
    "ReceiptSent",
    "What came in together, under one certificate or none.",
    lines=LineSent(many=True),
    certificate=PaperSent(**MAY_BE_NULL),
    title=TitleSaidSent(**MAY_BE_NULL),
    **certified(),
)
ReturnSent = act_request_of(
    RETURN_FROM_SHOP,
    "ReturnSent",
    "A shop order ends.",
    certificate=PaperSent(**MAY_BE_NULL),
    **certified(),
)
LatePaperSent = act_request_of(
    BRING_PAPER,
    "LatePaperSent",
    "A certificate that comes after its unit, and what it certifies.",
    certificate=PaperSent(),
    **certified(),
)


class InspectionSent(Shape):
    """What was looked at and found; signed by username and password."""

    act_id = serializers.UUIDField(help_text=ACT_ID)
    unit = UnitKey()
    result = serializers.ChoiceField(IncomingInspection.RESULTS)
    identity = StrictBoolean(help_text=CHECKS["identity"])
    papers = StrictBoolean(help_text=CHECKS["papers"])
    condition = StrictBoolean(help_text=CHECKS["condition"])
    dates = StrictBoolean(help_text=CHECKS["dates"])
    words = text(300)
    bin = text(80)
    username = StrictText(max_length=150)
    password = StrictText(
        max_length=MOST_PASSWORD,
        trim_whitespace=False,
        write_only=True,
        style={"input_type": "password"},
        help_text="Never kept, shown or logged.",
    )

    @staticmethod
    def inspection(sent: dict[str, Any]) -> facts.NewInspection:
        checks = {name: sent[name] for name in CHECKS}
        return facts.NewInspection(sent["unit"], sent["result"], checks, sent["words"], sent["bin"])


class IssueSent(Shape):
    reservation = StrictInteger(least=1)
    to = StrictText(max_length=120, help_text="To whom it is handed over.")
    job = StrictText(
        required=False, default="", allow_blank=True, max_length=80, help_text="For which job."
    )
    decision = StrictText(
        required=False,
        default="",
        allow_blank=True,
        max_length=200,
        help_text="Of a unit not complete, or with a limit unknown: who decided to issue it, and why.",
    )


StockAskedFor = query_of(StockAsked, "StockAskedFor", takes_blank=True)
