"""The paper that goes with a transfer."""

from __future__ import annotations

from equipment.common.paper import Paper, Part
from equipment.common.wording import unit_words
from equipment.models import Certificate, Transfer, Unit
from fleet.words.said import day_words

COLUMNS = ("Part number", "Serial number", "UN number", "Class", "Quantity", "Packing", "Document")


def transfer_paper(transfer: Transfer, *, address: str, is_demonstration: bool) -> Paper:
    """A transfer on paper: what, from where to where, its certificates, its particulars as dangerous goods."""
    unit = transfer.unit
    received = getattr(transfer, "received", None)
    state = f"Received {day_words(received.received_on)}" if received else "In transit"
    goods = transfer.particulars.get("goods", [])
    return Paper(
        title=f"Transfer {transfer.waybill}: {unit_words(unit)}",
        state=state,
        facts=(
            ("Unit", f"{unit_words(unit)}, {unit.part_number.description}"),
            ("Pieces", str(unit.quantity)),
            ("From", f"{transfer.origin.code}, {transfer.origin.name}"),
            ("To", f"{transfer.station.code}, {transfer.station.name}"),
            ("Sent on", day_words(transfer.sent_on)),
            ("Sent by", transfer.recorded_by.shown_name),
            ("Left", transfer.get_left_display()),
            ("Words", transfer.words),
        ),
        parts=(_goods(goods), _certificates(unit)),
        notes=(
            "Particulars of dangerous goods are the operator's own data, as they were at the sending."
            if goods
            else "By the operator's data nothing of it is dangerous goods.",
        ),
        address=address,
        is_demonstration=is_demonstration,
    )


def _goods(goods: list[dict[str, str]]) -> Part:
    names = ("part_number", "serial_number", "un_number", "hazard_class", "quantity", "packing")
    rows = [[*(each[name] for name in names), each.get("document", "")] for each in goods]
    return Part("Dangerous goods", COLUMNS, (2, 2, 1, 1, 2, 3, 2), rows)


def _certificates(unit: Unit) -> Part:
    papers = Certificate.objects.filter(unit=unit).order_by("-issued_on", "-pk")
    rows = [[p.form, p.tracking_number, p.issuer, p.status, day_words(p.issued_on)] for p in papers]
    columns = ("Form", "Number", "Issuer", "Status", "Issued on")
    return Part("Certificates", columns, (1, 2, 2, 2, 1), rows)
