"""What the doors of the stores take."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.fields import MOST_PASSWORD
from equipment.common.doors.files import FileSent
from equipment.common.doors.responses import UnitKey
from equipment.models import IncomingInspection, ShopReturn, Title
from equipment.stores.acts import facts
from equipment.stores.acts.inspections import CHECKS
from equipment.stores.acts.late_papers import LatePaper
from equipment.stores.reads.stock import StockAsked
from fleet.doors.fields import (
    Day,
    DayOrMonth,
    KeyOf,
    Shape,
    StrictBoolean,
    StrictInteger,
    StrictText,
)
from fleet.doors.requests import query_of
from fleet.models import Station


def text(most: int, **more: Any) -> StrictText:
    """A text that may be left out."""
    return StrictText(required=False, default="", allow_blank=True, max_length=most, **more)


class ActSent(Shape):
    act_id = serializers.UUIDField(help_text="Made by the sender; the same act twice is one act.")


def station_field() -> KeyOf:
    return KeyOf(Station, "code", "station", max_length=8, help_text="A station's code.")


class CertifiedWorkSent(Shape):
    """A work that the certificate certifies."""

    code = StrictText(max_length=24)
    done_on = DayOrMonth()
    method = text(24)
    total_minutes = StrictInteger(required=False, allow_null=True, default=None)
    total_cycles = StrictInteger(required=False, allow_null=True, default=None)

    def validate(self, attrs: dict[str, Any]) -> Any:
        day, precision = attrs.pop("done_on")
        return facts.WorkFact(done_on=day, precision=precision, **attrs)


class TotalSent(Shape):
    """A total as the certificate states it, in minutes or a count."""

    measure = StrictText(max_length=16)
    total = StrictInteger()
    since = serializers.ChoiceField(["new", "overhaul"], default="new")

    def validate(self, attrs: dict[str, Any]) -> Any:
        return facts.TotalFact(**attrs)


class PaperSent(Shape):
    """A release certificate as printed."""

    form = StrictText(max_length=40)
    tracking_number = StrictText(max_length=40)
    issuer = StrictText(max_length=80)
    status = StrictText(max_length=40, help_text="Its term for the work (block 11).")
    issued_on = Day()
    is_dual_release = StrictBoolean(default=False)
    supplier = text(80)
    work_order = text(40)
    remarks = text(200)
    file = FileSent(required=False, allow_null=True, default=None, help_text="Its scan.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        return facts.Paper(**attrs)


class TermSent(Shape):
    """The operator's data: which works a term of block 11 stands for."""

    term = StrictText(max_length=40)
    works = serializers.ListField(child=StrictText(max_length=24), max_length=50)


class TitleSaidSent(Shape):
    """Whose the unit is."""

    sort = serializers.ChoiceField(Title.SORTS)
    owner = StrictText(max_length=80)
    return_by = Day(required=False, allow_null=True, default=None)
    core_due_on = Day(required=False, allow_null=True, default=None)
    customs = text(80)
    restriction = text(120)
    charge = text(80)
    document = text(80)

    def validate(self, attrs: dict[str, Any]) -> Any:
        return facts.TitleSaid(**attrs)


class LineSent(Shape):
    """One unit or lot that came in, by its scanned code, by hand, or both."""

    part_number = text(40)
    serial_number = text(40)
    maker = text(80)
    scanned = text(1000)
    printed_serial = text(40, help_text="What block 10 says; N/A of what is tracked by lot.")
    quantity = StrictInteger(least=1, most=2**31 - 1, default=1)
    manufactured_on = DayOrMonth(required=False, allow_null=True, default=None)
    works = CertifiedWorkSent(many=True, required=False, default=list)
    totals = TotalSent(many=True, required=False, default=list)
    bin = text(80)
    is_confirmed = StrictBoolean(default=False, help_text="Looked at again: it is another unit.")

    def validate(self, attrs: dict[str, Any]) -> Any:
        made = attrs.pop("manufactured_on")
        day, precision = made or (None, "day")
        works, totals = tuple(attrs.pop("works")), tuple(attrs.pop("totals"))
        return facts.ReceiptLine(
            manufactured_on=day,
            manufactured_precision=precision,
            works=works,
            totals=totals,
            bin_name=attrs.pop("bin"),
            **attrs,
        )


def certified(terms: list[dict[str, Any]]) -> dict[str, tuple[str, ...]]:
    return {each["term"]: tuple(each["works"]) for each in terms}


class ReceiptSent(ActSent):
    """What came in together, under one certificate or none."""

    station = station_field()
    received_on = Day()
    lines = LineSent(many=True)
    certificate = PaperSent(required=False, allow_null=True, default=None)
    certifies = TermSent(many=True, required=False, default=list)
    title = TitleSaidSent(required=False, allow_null=True, default=None)
    document = text(80)

    def validate(self, attrs: dict[str, Any]) -> Any:
        receipt = facts.Receipt(
            attrs["station"],
            attrs["received_on"],
            tuple(attrs["lines"]),
            attrs["certificate"],
            certified(attrs["certifies"]),
            attrs["title"],
            attrs["document"],
        )
        return {"act_id": attrs["act_id"], "receipt": receipt}


class InspectionSent(ActSent):
    """What was looked at and found; signed by username and password."""

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


class OrderSent(ActSent):
    """A unit goes to a shop."""

    unit = UnitKey()
    shop = StrictText(max_length=80)
    number = StrictText(max_length=40)
    station = station_field()
    sent_on = Day()
    promised_on = Day()
    works = serializers.ListField(child=StrictText(max_length=32), required=False, default=list)
    words = text(300)

    def validate(self, attrs: dict[str, Any]) -> Any:
        act_id, works = attrs.pop("act_id"), tuple(attrs.pop("works"))
        unit, station = attrs.pop("unit"), attrs.pop("station")
        order = facts.NewOrder(unit_id=unit, station_id=station, works=works, **attrs)
        return {"act_id": act_id, "order": order}


class PromiseSent(ActSent):
    order = StrictInteger(least=1)
    promised_on = Day()
    words = text(200)


class ReturnSent(ActSent):
    """A shop order ends."""

    order = StrictInteger(least=1)
    returned_on = Day()
    how = serializers.ChoiceField(ShopReturn.HOW, default="done")
    station = KeyOf(
        Station, "code", "station", max_length=8, required=False, allow_null=True, default=None
    )
    certificate = PaperSent(required=False, allow_null=True, default=None)
    printed_serial = text(40)
    certifies = TermSent(many=True, required=False, default=list)
    works = CertifiedWorkSent(many=True, required=False, default=list)
    totals = TotalSent(many=True, required=False, default=list)
    price = text(16)
    currency = text(3)
    words = text(300)

    def validate(self, attrs: dict[str, Any]) -> Any:
        act_id, terms = attrs.pop("act_id"), certified(attrs.pop("certifies"))
        back = facts.ShopBack(
            order_id=attrs.pop("order"),
            station_id=attrs.pop("station"),
            certifies=terms,
            paper=attrs.pop("certificate"),
            works=tuple(attrs.pop("works")),
            totals=tuple(attrs.pop("totals")),
            **attrs,
        )
        return {"act_id": act_id, "back": back}


class LatePaperSent(ActSent):
    """A certificate that comes after its unit, and what it certifies."""

    unit = UnitKey()
    certificate = PaperSent()
    printed_serial = StrictText(max_length=40, help_text="What block 10 says.")
    certifies = TermSent(many=True, required=False, default=list)
    works = CertifiedWorkSent(many=True, required=False, default=list)
    totals = TotalSent(many=True, required=False, default=list)

    def validate(self, attrs: dict[str, Any]) -> Any:
        late = LatePaper(
            attrs["certificate"],
            attrs["printed_serial"],
            tuple(attrs["works"]),
            tuple(attrs["totals"]),
            certified(attrs["certifies"]),
        )
        return {"act_id": attrs["act_id"], "unit_id": attrs["unit"], "late": late}


class BinSent(ActSent):
    unit = UnitKey()
    bin = StrictText(max_length=80)


class IssueSent(Shape):
    reservation = StrictInteger(least=1)


StockAskedFor = query_of(StockAsked, "StockAskedFor", takes_blank=True)
