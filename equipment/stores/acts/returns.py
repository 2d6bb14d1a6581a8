"""A unit comes back from a shop: its order ends, with the shop's paper or without."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, when_on
from equipment.common.attached import refuse_file
from equipment.common.money import money
from equipment.common.said import station_coded
from equipment.keeping.derive import told_together
from equipment.keeping.record import record_asked
from equipment.ledger.facts import Entered, MovementFact, PlaceAt
from equipment.models import Place, ShopOrder, ShopReturn, Unit, UnitTag
from equipment.segregation.shop_first import condemned_by
from equipment.stores.acts.scans import attach_paper
from equipment.stores.ports import known_works
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, day, number, part, parts, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_long
from fleet.models import Station, User
from fleet.words.said import day_words

from .facts import (
    EXAMPLE_PAPER,
    MOST_PRINTED,
    CertifiedTerm,
    Paper,
    TotalFact,
    WorkFact,
    same_serial,
)
from .papers import OfUnit, record_paper, refuse_paper, refuse_printed, refuse_uncertified
from .shops import open_order, refuse_ended


@transaction.atomic
def return_from_shop(*, by: User, back: ShopBack, act_id: UUID, at: datetime) -> ShopReturn:
    """This will end a shop order: the unit is back in quarantine, to be inspected, or it is scrapped.

    With the shop's certificate its works restart their limits, its totals are taken, and it is
    tagged serviceable as the shop released it. Refuses an order that has ended, a return before
    the sending, a price that is none, and of the certificate what receiving refuses.
    """
    ask(by, "return_from_shop")
    rows = ShopReturn.objects.filter(act_id=act_id)
    if done := done_before(act_id, "return_from_shop", {"back": back}, rows, by=by, at=at):
        return done
    order = open_order(back.order_id)
    refuse_ended(order)
    unit = Unit.objects.select_related("part_number").get(pk=order.unit_id)
    unit = lock_unit(unit.pk)
    price, currency = _refuse_back(order, unit, back)
    with told_together():
        movement = _moved_back(by=by, order=order, unit=unit, back=back, act_id=act_id, at=at)
        paper = _record_paper(by, unit, back, act_id, at)
        if back.how == "done" and paper is not None and condemned_by(unit.pk) is None:
            _tag(by, unit, back, act_id, at)
    return ShopReturn.objects.create(
        order=order,
        act_id=act_id,
        how=back.how,
        movement_id=movement,
        certificate_id=paper.id if paper else None,
        returned_on=back.returned_on,
        works=[work.code for work in back.works],
        price=price,
        currency=currency,
        results=refuse_long(back.results, "results", 300),
        words=back.words.strip()[:300],
        recorded_at=at,
        recorded_by=by,
    )


def _refuse_back(order: ShopOrder, unit: Unit, back: ShopBack) -> tuple[Decimal | None, str]:
    if back.how not in dict(ShopReturn.HOW):
        raise Refused("unknown_how", "Say whether the work was done, or give the result.", "how")
    if back.returned_on < order.sent_on:
        words = f"It was sent on {day_words(order.sent_on)}: it cannot be back before."
        raise Refused("returned_before_sending", words, "returned_on")
    if back.paper is not None:
        refuse_paper(back.paper, back.returned_on)
        refuse_file(back.paper.file)
        refuse_printed(
            back.printed_serial, unit.part_number, unit.serial_number, is_same=back.is_same_serial
        )
        refuse_uncertified(back.paper, back.works, back.certifies)
        _refuse_no_results(back)
    elif back.works or back.totals:
        words = "Works and totals are taken from a certificate: bring it, or leave them out."
        raise Refused("work_not_certified", words, "works")
    return money(back.price, back.currency)


def _refuse_no_results(back: ShopBack) -> None:
    """A test is told by what was measured: its certificate alone says that it passed."""
    tests = {each.code.upper(): each.name for each in known_works() if each.methods}
    done = [tests[work.code.upper()] for work in back.works if work.code.upper() in tests]
    if done and not back.results.strip():
        words = f"Give the results and measures of {done[0]}, as its report has them."
        raise Refused("results_missing", words, "results")


def _moved_back(
    *, by: User, order: ShopOrder, unit: Unit, back: ShopBack, act_id: UUID, at: datetime
) -> int:
    station = order.station
    if back.station_id is not None:
        found = Station.objects.filter(pk=back.station_id).first()
        if found is None:
            raise Refused("unknown_station", "There is no such station: choose one.", "station")
        station = found
    is_scrapped = back.how == "scrapped"
    to = (
        PlaceAt(Place.GONE, name="scrapped")
        if is_scrapped
        else PlaceAt(Place.QUARANTINE, station_id=station.pk)
    )
    reason = (
        "Waits for its incoming inspection."
        if back.paper
        else "No release certificate came with it."
    )
    row = MovementFact(
        unit.pk,
        "scrapped" if is_scrapped else "returned",
        to,
        when_on(back.returned_on, station.time_zone, at),
        day_order=1,
        document=f"order {order.number}",
        reason="beyond repair" if is_scrapped else reason,
    )
    (done,) = record_asked(by=by, rows=[row], act_id=uuid5(act_id, "back"), at=at, is_strict=True)
    return done.movement_id


def _record_paper(
    by: User, unit: Unit, back: ShopBack, act_id: UUID, at: datetime
) -> Entered | None:
    if back.paper is None:
        return None
    of_unit = OfUnit(unit.pk, back.works, back.totals, back.printed_serial)
    entered = record_paper(by=by, paper=back.paper, units=[of_unit], at=at)[unit.pk]
    attach_paper(by=by, paper=back.paper, certificate_id=entered.id, act_id=act_id, at=at)
    return entered


def _tag(by: User, unit: Unit, back: ShopBack, act_id: UUID, at: datetime) -> None:
    assert back.paper is not None
    words = f"{back.paper.status}, {back.paper.form} {back.paper.tracking_number}"
    UnitTag.objects.create(
        act_id=uuid5(act_id, "tag"),
        unit=unit,
        sort="serviceable",
        why="shop",
        words=words[:300],
        tagged_at=at,
        recorded_at=at,
        recorded_by=by,
    )


@dataclass(frozen=True, slots=True)
class ShopBack:
    """A shop order ends: ``how`` is one of ``ShopReturn.HOW``, with the shop's paper if there is one."""

    order_id: int = number("The order", least=1, name="order")
    returned_on: date = day("Returned on")
    how: str = choice("Result", ShopReturn.HOW)
    station_id: int | None = station_coded("To station", default=None)
    paper: Paper | None = part("Its certificate", Paper, default=None, name="certificate")
    printed_serial: str = text("Serial number on it (block 10)", MOST_PRINTED, default="")
    is_same_serial: bool = same_serial()
    certifies: Mapping[str, tuple[str, ...]] = parts(
        "What its terms stand for", CertifiedTerm, default={}
    )
    works: tuple[WorkFact, ...] = parts("Works that it certifies", WorkFact)
    totals: tuple[TotalFact, ...] = parts("Totals that it states", TotalFact)
    price: str = text("Price", 16, default="")
    currency: str = text("Currency", 3, default="")
    words: str = text("In words", 300, default="")
    results: str = text("Results and measures of the work", 300, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnShown:
    order: int = shown("order_id")
    how: str
    returned_on: date
    works: tuple[str, ...]
    price: Decimal | None
    currency: str
    results: str


# --- declared ---------------------------------------------------------------------------------

RETURN_FROM_SHOP = Act(
    name="return_from_shop",
    does=return_from_shop,
    said=ShopBack,
    as_="back",
    tag="Stores",
    summary="Record a return from a shop",
    description="Ends a shop order: with its certificate the works restart their limits; the unit is in "
    "quarantine until it is inspected.",
    address="stores/returns",
    example={
        "act_id": EXAMPLE_ID,
        "order": 18,
        "returned_on": "2024-04-12",
        "how": "done",
        "certificate": {
            **EXAMPLE_PAPER,
            "tracking_number": "LS-2024-171",
            "issued_on": "2024-04-10",
        },
        "printed_serial": "B00117",
        "certifies": [{"term": "Overhauled", "works": ["overhaul"]}],
        "works": [{"code": "overhaul", "done_on": "2024-04-09"}],
        "price": "12500.00",
        "currency": "EUR",
    },
    shows=ReturnShown,
    answer={
        "order": 18,
        "how": "done",
        "returned_on": "2024-04-12",
        "works": ["overhaul"],
        "price": "12500.00",
        "currency": "EUR",
        "results": "",
    },
)
