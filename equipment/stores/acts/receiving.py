"""Units come in: known or new, with a certificate or without, always to be inspected before stock."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from equipment.availability.acts.units import when_on
from equipment.buying.acts.came import note_came
from equipment.keeping.derive import told_together
from equipment.keeping.locks import lock
from equipment.keeping.record import record_asked
from equipment.ledger.facts import (
    Entered,
    MovementFact,
    PlaceAt,
    Recorded,
    UnitFact,
    When,
)
from equipment.models import Certificate, Movement, Place
from equipment.segregation.facts import Asked, uses_of
from equipment.stores.acts.came_with import (
    keep_strays,
    record_inside,
    record_prices,
    record_titles_said,
)
from equipment.stores.acts.scans import attach_paper
from equipment.units.acts.units import enter_units
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.repeats import act_id_used, claim
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refused
from fleet.models import Station, User

from .facts import EXAMPLE_PAPER, Receipt, ReceivedLine, Receiving
from .lines import Meant, refuse_received
from .papers import OfUnit, record_paper
from .receipt_lines import at_line, meant_lines

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
    lines = meant_lines(receipt)
    units = _entered(by, lines, at)
    lock(places=(), units=units)
    for number, (each, unit) in enumerate(zip(lines, units, strict=True)):
        try:
            refuse_received(each, unit)
        except Refused as refused:
            raise at_line(refused, number, receipt.lines) from refused
    came: dict[str, Any] = {"receipt": receipt, "lines": lines, "units": units}
    with told_together():
        papers = _record_papers(by=by, **came, act_id=act_id, at=at)
        record_titles_said(by, receipt, units, at)
        reasons = _why_quarantined(receipt, lines, units, at)
        move: dict[str, Any] = {"reasons": reasons, "station": station, "act_id": act_id}
        recorded = _moved(by=by, **came, **move, at=at)
        record_prices(by=by, receipt=receipt, unit_ids=units, act_id=act_id, at=at)
        _record_inside(by=by, **came, act_id=act_id, at=at)
    bought = _bought(by=by, receipt=receipt, lines=lines, act_id=act_id, at=at)
    return Receiving(
        tuple(
            ReceivedLine(
                unit, moved.movement_id, reasons[unit], each.unit is not None, papers.get(unit)
            )
            for each, unit, moved in zip(lines, units, recorded, strict=True)
        ),
        bought=bought,
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
        OfUnit(unit, each.line.works, each.line.totals, each.line.printed_serial)
        for each, unit in zip(lines, units, strict=True)
        if not each.line.is_of_another
    ]
    keep_strays(
        by=by,
        paper=receipt.paper,
        printed={
            unit: each.line.printed_serial
            for each, unit in zip(lines, units, strict=True)
            if each.line.is_of_another
        },
        act_id=act_id,
        at=at,
    )
    if not of_units:
        return {}
    entered = record_paper(by=by, paper=receipt.paper, units=of_units, at=at)
    first = entered[of_units[0].unit_id].id
    attach_paper(by=by, paper=receipt.paper, certificate_id=first, act_id=act_id, at=at)
    return entered


def _why_quarantined(
    receipt: Receipt, lines: Sequence[Meant], units: Sequence[int], at: datetime
) -> dict[int, str]:
    """What each unit waits for: papers, the end of a hold that it falls under, its inspection."""
    uses = uses_of(units, Asked(receipt.received_on, at, with_expired=False))
    found = {}
    for each, unit in zip(lines, units, strict=True):
        parts = [] if receipt.paper and not each.line.is_of_another else [NO_PAPER]
        if receipt.paper and each.line.is_of_another:
            paper = receipt.paper
            parts = [
                f"{paper.form} {paper.tracking_number} came with it and is for S/N {each.line.printed_serial[:60]}:"
                " its own is missing."
            ]
        parts += [f"Held: {each_hold}." for each_hold in uses[unit].holds]
        found[unit] = " ".join(parts or [TO_INSPECT])[:200]
    return found


def _record_inside(
    *,
    by: User,
    receipt: Receipt,
    lines: Sequence[Meant],
    units: Sequence[int],
    act_id: UUID,
    at: datetime,
) -> None:
    for number, (each, unit) in enumerate(zip(lines, units, strict=True)):
        try:
            record_inside(by=by, each=each, unit_id=unit, act_id=act_id, at=at)
        except Refused as refused:
            raise at_line(refused, number, receipt.lines) from refused


def _bought(
    *, by: User, receipt: Receipt, lines: Sequence[Meant], act_id: UUID, at: datetime
) -> tuple[str, ...]:
    """What the receipt says of purchase requests; nothing of what is another's."""
    if receipt.title is not None and receipt.title.sort != "owned":
        return ()
    pieces: dict[int, int] = defaultdict(int)
    for each in lines:
        # What was with us before comes back, it is not bought.
        if each.unit is None:
            pieces[each.part.pk] += each.line.quantity
    came = note_came(by=by, pieces=pieces, document=receipt.document, act_id=act_id, at=at)
    return tuple(each.words for each in came)


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
