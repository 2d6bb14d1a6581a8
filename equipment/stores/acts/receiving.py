"""Units come in: known or new, with a certificate or without, always to be inspected before stock."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from equipment.availability.acts.units import when_on
from equipment.common.attached import refuse_file
from equipment.common.money import money
from equipment.keeping.derive import told_together
from equipment.keeping.locks import lock
from equipment.keeping.papers import record_titles
from equipment.keeping.record import record_asked
from equipment.ledger.facts import (
    Entered,
    MovementFact,
    PlaceAt,
    Recorded,
    TitleFact,
    UnitFact,
    When,
)
from equipment.models import Certificate, Movement, Place
from equipment.segregation.facts import Asked, uses_of
from equipment.stores.acts.scans import attach_paper
from equipment.units.acts.units import enter_units
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.repeats import act_id_used, claim
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refusal, Refused
from fleet.models import Station, User
from fleet.words.said import day_words

from .facts import EXAMPLE_PAPER, Receipt, ReceiptLine, ReceivedLine, Receiving
from .lines import Meant, refuse_received, resolve_line
from .papers import OfUnit, record_paper, refuse_paper, refuse_printed, refuse_uncertified

MOST_LINES = 200
CAME = ("received", "returned")
TO_INSPECT = "Waits for its incoming inspection."
NO_PAPER = "No release certificate came with it."


@transaction.atomic
def receive(*, by: User, receipt: Receipt, act_id: UUID, at: datetime) -> Receiving:
    """This will receive units into quarantine, with what came on paper.

    They go to stock by their incoming inspection. Missing papers keep them in quarantine, with the
    reason. Refuses, with nothing done: what is not on record as a part, a number that looks like a
    known one (``near_match``), a unit received before, a certificate that is another's or blank
    where it counts, works that it does not certify, a day to come.
    """
    ask(by, "receive_unit")
    rows = Movement.objects.filter(act_id=act_id)
    if not claim(act_id, "receive", {"receipt": receipt}, by=by, at=at, earlier=[rows]):
        return _done_before(rows)
    station = _station(receipt, at)
    lines = _meant_lines(receipt)
    units = _entered(by, lines, at)
    lock(places=(), units=units)
    for number, (each, unit) in enumerate(zip(lines, units, strict=True)):
        try:
            refuse_received(each, unit)
        except Refused as refused:
            raise _at_line(refused, number, receipt.lines) from refused
    came: dict[str, Any] = {"receipt": receipt, "lines": lines, "units": units}
    with told_together():
        papers = _record_papers(by=by, **came, act_id=act_id, at=at)
        _record_titles(by, receipt, units, at)
        reasons = _why_quarantined(receipt, units, at)
        move: dict[str, Any] = {"reasons": reasons, "station": station, "act_id": act_id}
        recorded = _moved(by=by, **came, **move, at=at)
    return Receiving(
        tuple(
            ReceivedLine(
                unit, moved.movement_id, reasons[unit], each.unit is not None, papers.get(unit)
            )
            for each, unit, moved in zip(lines, units, recorded, strict=True)
        )
    )


def _done_before(moves: QuerySet[Movement]) -> Receiving:
    """What the same receipt came to: a unit was known then if it was on record before it came."""
    rows = list(moves.filter(sort__in=CAME).select_related("unit").order_by("pk"))
    if not rows:
        raise act_id_used()
    lines = []
    for row in rows:
        unit = row.unit.merged_into_id or row.unit_id
        is_known = row.unit.recorded_at < row.recorded_at
        paper = Certificate.objects.filter(unit=unit, recorded_at=row.recorded_at).first()
        entered = Entered(paper.pk, is_new=False) if paper else None
        lines.append(ReceivedLine(unit, row.pk, row.reason, is_known, entered))
    return Receiving(tuple(lines), is_new=False)


def _station(receipt: Receipt, at: datetime) -> Station:
    station = Station.objects.filter(pk=receipt.station_id).first()
    if station is None:
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    day = When.on(receipt.received_on, station.time_zone).at
    refuse_future(day, at, "received_on")
    if not 1 <= len(receipt.lines) <= MOST_LINES:
        words = f"Give what came, at least one unit and at most {MOST_LINES} at once."
        raise Refused("nothing_received", words, "lines")
    return station


def _meant_lines(receipt: Receipt) -> list[Meant]:
    """Each line read and its paper looked at; the first refusal names its line if there are several."""
    if receipt.paper is not None:
        refuse_paper(receipt.paper, receipt.received_on)
        refuse_file(receipt.paper.file)
    found: list[Meant] = []
    for number, line in enumerate(receipt.lines):
        try:
            each = resolve_line(line, on=receipt.received_on)
            _refuse_line(receipt, each)
            if each.words in {other.words for other in found}:
                words = f"{each.words} stands twice in this receipt: take one line out."
                raise Refused("received_already", words, "serial_number")
        except Refused as refused:
            raise _at_line(refused, number, receipt.lines) from refused
        found.append(each)
    return found


def _refuse_line(receipt: Receipt, each: Meant) -> None:
    paper, line = receipt.paper, each.line
    if paper is None:
        if line.works:
            words = "Works restart limits only by the certificate that certifies them: bring it, or leave them out."
            raise Refused("work_not_certified", words, "works")
        if line.totals:
            words = "Totals are taken from a certificate: bring it, or leave them out."
            raise Refused("totals_without_certificate", words, "totals")
        return
    refuse_printed(line.printed_serial, each.part, line.serial_number)
    refuse_uncertified(paper, line.works, receipt.certifies)


def _at_line(refused: Refused, number: int, lines: Sequence[ReceiptLine]) -> Refused:
    """The refusals at their line: ``lines.2.serial_number``; of a single line at the field itself."""
    if len(lines) == 1:
        return refused
    return Refused.all_of(
        [
            Refusal(each.code, each.message, f"lines.{number}.{each.field or ''}".rstrip("."))
            for each in refused.refusals
        ]
    )


def _entered(by: User, lines: Sequence[Meant], at: datetime) -> list[int]:
    """The key of each line's unit: as known, or newly entered."""
    new = [each for each in lines if each.unit is None]
    rows = [
        UnitFact(
            original_part_id=each.part.pk,
            serial_number=each.line.serial_number,
            manufactured_on=each.line.manufactured_on,
            manufactured_precision=each.line.manufactured_precision,
            quantity=each.line.quantity,
            stated_life_months=each.line.stated_life_months,
            standard_id=each.standard_id,
        )
        for each in new
    ]
    keys = iter(enter_units(by=by, rows=rows, at=at))
    return [each.unit.pk if each.unit is not None else next(keys).id for each in lines]


def _record_papers(
    *,
    by: User,
    receipt: Receipt,
    lines: Sequence[Meant],
    units: Sequence[int],
    act_id: UUID,
    at: datetime,
) -> dict[int, Entered]:
    if receipt.paper is None:
        return {}
    of_units = [
        OfUnit(unit, each.line.works, each.line.totals)
        for each, unit in zip(lines, units, strict=True)
    ]
    entered = record_paper(by=by, paper=receipt.paper, units=of_units, at=at)
    attach_paper(
        by=by, paper=receipt.paper, certificate_id=entered[units[0]].id, act_id=act_id, at=at
    )
    return entered


def _record_titles(by: User, receipt: Receipt, units: Sequence[int], at: datetime) -> None:
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


def _why_quarantined(receipt: Receipt, units: Sequence[int], at: datetime) -> dict[int, str]:
    """What each unit waits for: papers, the end of a hold that it falls under, its inspection."""
    uses = uses_of(units, Asked(receipt.received_on, at, with_expired=False))
    found = {}
    for unit in units:
        parts = [] if receipt.paper else [NO_PAPER]
        parts += [f"Held: {each}." for each in uses[unit].holds]
        found[unit] = " ".join(parts or [TO_INSPECT])[:200]
    return found


def _moved(
    *,
    by: User,
    receipt: Receipt,
    lines: Sequence[Meant],
    units: Sequence[int],
    reasons: dict[int, str],
    station: Station,
    act_id: UUID,
    at: datetime,
) -> list[Recorded]:
    rows = [
        MovementFact(
            unit,
            "received",
            PlaceAt(Place.QUARANTINE, station_id=station.pk, name=each.line.bin_name.strip()),
            when_on(receipt.received_on, station.time_zone, at),
            document=receipt.document[:80],
            reason=reasons[unit],
            quantity=each.line.quantity,
        )
        for each, unit in zip(lines, units, strict=True)
    ]
    return record_asked(by=by, rows=rows, act_id=act_id, at=at, is_strict=True)


# --- declared ---------------------------------------------------------------------------------

RECEIVE = Act(
    name="receive_units",
    does=receive,
    said=Receipt,
    as_="receipt",
    claimed="receive",
    who="receive_unit",
    tag="Stores",
    summary="Receive units",
    description="Receives units into quarantine, to be inspected, with one certificate for all lines or "
    "none. A number that looks like a known one is asked about (near_match) until it is confirmed.",
    address="stores/receipts",
    example={
        "act_id": EXAMPLE_ID,
        "station": "LYD",
        "received_on": "2024-02-26",
        "lines": [
            {
                "part_number": "HS-4410-3",
                "serial_number": "B00117",
                "printed_serial": "B00117",
                "bin": "R1",
            }
        ],
        "certificate": EXAMPLE_PAPER,
    },
)
