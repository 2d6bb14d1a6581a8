"""A small store to work in: a station, a clerk, a part, a certificate as printed."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.db import transaction

from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, UnitFact
from equipment.models import Certificate, PartNumber, Reservation, Unit
from equipment.stores.acts.facts import (
    NewInspection,
    Paper,
    Receipt,
    ReceiptLine,
    Receiving,
    WorkFact,
)
from equipment.stores.acts.inspections import CHECKS, inspect_incoming
from equipment.stores.acts.receiving import receive
from equipment.units.acts.units import enter_units
from fleet.house.refusals import Refused
from fleet.models import Station, User
from fleet.people.proofs import Proof
from scheduling.models import Work
from tests import builders as build

AT = build.instant("2027-06-01 12:00")
TODAY = build.day("2027-06-01")
CERTIFIES = {"Overhauled": ("OH",), "Inspected/Tested": ("TEST",)}
ALL_GOOD = dict.fromkeys(CHECKS, True)


def a_paper(**more: Any) -> Paper:
    facts: dict[str, Any] = {
        "form": "Form 1",
        "tracking_number": "C-1",
        "issuer": "Lee Shore Overhaul",
        "status": "Overhauled",
        "issued_on": build.day("2027-05-20"),
        "supplier": "Tidewater Parts",
    }
    return Paper(**facts | more)


def a_work(code: str = "OH", on: str = "2027-05-19", **more: Any) -> WorkFact:
    return WorkFact(code, build.day(on), **more)


def a_line(serial: str = "A100", part: str = "HS-1", **more: Any) -> ReceiptLine:
    return ReceiptLine(part_number=part, serial_number=serial, **{"printed_serial": serial} | more)


def received(*lines: ReceiptLine, by: User | None = None, **more: Any) -> Receiving:
    station = more.pop("station", None) or build.a_station()
    facts: dict[str, Any] = {
        "station_id": station.pk,
        "received_on": TODAY,
        "lines": lines or (a_line(),),
        "paper": a_paper(),
        "certifies": CERTIFIES,
    }
    act_id = more.pop("act_id", None) or uuid4()
    receipt = Receipt(**facts | more)
    return receive(by=by or build.a_person("stores"), receipt=receipt, act_id=act_id, at=AT)


def inspected(unit_id: int, result: str = "accepted", by: User | None = None, **more: Any):
    facts: dict[str, Any] = {"checks": ALL_GOOD, "words": "" if result == "accepted" else "Torn."}
    return inspect_incoming(
        proof=Proof(by or build.a_person("stores"), AT),
        inspection=NewInspection(unit_id, result, **facts | more),
        act_id=uuid4(),
        at=AT,
    )


def works() -> None:
    for code in ("OH", "TEST"):
        Work.objects.get_or_create(code=code, defaults={"name": code.title()})


def a_stocked_unit(station=None, part=None, *, has_certificate: bool = True, **more: Any) -> Unit:
    """A unit in a store, as what was loaded before the stores kept book here."""
    unit = build.a_unit(part, **more)
    build.moved(unit, "received", build.in_store(station or build.a_station()), "2027-03-01")
    if has_certificate:
        certified(unit)
    return Unit.objects.select_related("place").get(pk=unit.pk)


def stocked_units(station: Station, part: PartNumber, count: int) -> list[int]:
    """So many of them, entered, received and certified at once."""
    facts = [UnitFact(part.pk, f"S{number}") for number in range(count)]
    units = [done.id for done in enter_units(by=build.a_person(), rows=facts, at=build.NOW)]
    store, when = build.in_store(station), build.on("2027-03-01")
    rows = [MovementFact(unit, "received", store, when) for unit in units]
    record_movements(by=build.a_person("stores"), rows=rows, act_id=uuid4(), at=build.NOW)
    Certificate.objects.bulk_create(
        Certificate(
            unit_id=unit,
            form="Form 1",
            tracking_number=f"C-{unit}",
            issuer="Lee Shore Overhaul",
            issued_on=build.day("2027-02-01"),
            status="Overhauled",
            recorded_at=AT,
        )
        for unit in units
    )
    return units


def certified(unit: Unit, number: str = "", **more: Any) -> Certificate:
    return Certificate.objects.create(
        unit=unit,
        form="Form 1",
        tracking_number=number or f"S-{unit.pk}",
        issuer="Lee Shore Overhaul",
        issued_on=build.day("2027-02-01"),
        status="Overhauled",
        recorded_at=AT,
        **more,
    )


def set_aside(unit: Unit, place_id: int, by: User | None = None) -> Reservation:
    return Reservation.objects.create(
        act_id=uuid4(),
        unit=unit,
        place_id=place_id,
        need_on=build.day("2027-07-01"),
        reserved_at=AT,
        reserved_by=by or build.a_person("stores"),
    )


def code_of(act, *args: Any, **more: Any) -> str:
    """The code that an act refuses with; an act that does not refuse fails the test."""
    try:
        with transaction.atomic():
            act(*args, **more)
    except Refused as refused:
        return refused.code
    raise AssertionError("it was not refused")
