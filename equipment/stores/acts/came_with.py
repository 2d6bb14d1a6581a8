"""What came with units besides their certificate: one that names another unit, what is inside them, what they cost,
whose they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID, uuid5

from equipment.common.money import money
from equipment.keeping.papers import record_titles
from equipment.ledger.facts import TitleFact
from equipment.models import PartPosition, StrayPaper, UnitPrice
from fleet.house.refusals import Refusal, Refused
from fleet.models import User
from fleet.words.said import day_words

from .facts import CameInside, Paper, Receipt
from .inside import FoundInside, note_inside
from .lines import Meant
from .scans import attach_file


def keep_strays(
    *, by: User, paper: Paper, printed: Mapping[int, str], act_id: UUID, at: datetime
) -> list[StrayPaper]:
    """This will keep the paper with each unit that it came with; its file with the first of them."""
    made = [
        StrayPaper.objects.create(
            act_id=uuid5(act_id, f"stray {unit}"),
            unit_id=unit,
            form=paper.form.strip(),
            tracking_number=paper.tracking_number.strip(),
            issued_on=paper.issued_on,
            issuer=paper.issuer.strip(),
            status=paper.status.strip(),
            printed_serial=numbers.strip(),
            recorded_at=at,
            recorded_by=by,
        )
        for unit, numbers in printed.items()
    ]
    if made and paper.file is not None:
        act_id = uuid5(act_id, "stray file")
        attach_file(by=by, file=paper.file, act_id=act_id, at=at, stray_id=made[0].pk)
    return made


def record_prices(
    *, by: User, receipt: Receipt, unit_ids: Sequence[int], act_id: UUID, at: datetime
) -> None:
    """This will keep the price of each unit of a receipt; none where none is said. Refuses what is no amount."""
    try:
        amount, currency = money(receipt.price, receipt.currency)
    except Refused as refused:
        raise _at_field(refused, "price") from refused
    if amount is None:
        return
    UnitPrice.objects.bulk_create(
        UnitPrice(
            act_id=uuid5(act_id, f"price {unit}"),
            unit_id=unit,
            amount=amount,
            currency=currency,
            paid_on=receipt.received_on,
            document=receipt.document[:80],
            recorded_at=at,
            recorded_by=by,
        )
        for unit in unit_ids
    )


def record_inside(*, by: User, each: Meant, unit_id: int, act_id: UUID, at: datetime) -> None:
    """This will bring on record what came inside a unit, at the positions that its part has. Refuses, at ``inside``,
    what :func:`note_inside` refuses, and a position that the part has not."""
    for number, inner in enumerate(each.line.inside):
        try:
            position = _position(each, inner)
            found = FoundInside(unit_id, position, inner.part_number, inner.serial_number)
            note_inside(by=by, found=found, act_id=uuid5(act_id, f"in {unit_id} {number}"), at=at)
        except Refused as refused:
            raise _at_field(refused, "inside") from refused


def _position(each: Meant, inner: CameInside) -> int:
    rows = PartPosition.objects.filter(part_number=each.part).order_by("code")
    codes = {code.upper(): key for key, code in rows.values_list("pk", "code")}
    found = codes.get(inner.position.strip().upper())
    if found is None:
        words = (
            f"{each.part.number} has no position {inner.position.strip()[:24]} inside: it has"
            f" {', '.join(codes) or 'none'}."
        )
        raise Refused("unknown_position", words, "inside")
    return found


def _at_field(refused: Refused, field: str) -> Refused:
    return Refused.all_of([Refusal(each.code, each.message, field) for each in refused.refusals])


def record_titles_said(by: User, receipt: Receipt, units: Sequence[int], at: datetime) -> None:
    """This will record whose the units of a receipt are from then on. Refuses what is owed before it came."""
    title = receipt.title
    if title is None:
        return
    for name in ("return_by", "core_due_on"):
        due = getattr(title, name)
        if due is not None and due < receipt.received_on:
            words = f"It was received on {day_words(receipt.received_on)}: it cannot be owed back before."
            raise Refused("owed_before_receipt", words, name)
    amount, currency = money(title.charge_amount, title.currency, field="charge_amount")
    rows = [
        TitleFact(
            unit,
            title.sort,
            title.owner,
            receipt.received_on,
            title.return_by,
            title.core_due_on,
            title.customs,
            title.restriction,
            title.document,
            title.charge,
            amount,
            title.charge_per or "once" if amount is not None else "",
            currency,
        )
        for unit in units
    ]
    record_titles(by=by, rows=rows, at=at)
