"""The shop loop: a unit is sent with an order, the shop's promise noted, and its return recorded."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, use_now, when_on
from equipment.common.attached import refuse_file
from equipment.common.wording import unit_words
from equipment.keeping.record import record_asked
from equipment.ledger.facts import Entered, MovementFact, PlaceAt
from equipment.models import Place, ShopOrder, ShopPromise, ShopReturn, Unit, UnitTag
from equipment.segregation.facts import Asked
from equipment.stores.acts.scans import attach_paper
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Station, User
from fleet.words.said import day_words

from .facts import NewOrder, ShopBack
from .papers import OfUnit, record_paper, refuse_paper, refuse_printed, refuse_uncertified

MOST_MONEY = Decimal("9999999999.99")


@transaction.atomic
def send_to_shop(
    *, by: User, order: NewOrder, act_id: UUID, at: datetime, today: date
) -> ShopOrder:
    """This will send a unit to a shop under an order, with the works asked and the day promised.

    Refuses a promise that is past, an order number that the shop has had, a unit set aside for a
    need or held as suspected unapproved, and one that is recorded as fitted or at a shop.
    """
    ask(by, "send_to_shop")
    rows = ShopOrder.objects.filter(act_id=act_id)
    if done := done_before(act_id, "send_to_shop", {"order": order}, rows, by=by, at=at):
        return done
    unit = lock_unit(order.unit_id)
    shop = refuse_blank(order.shop, "Name the shop.", "shop", 80)
    number = refuse_blank(order.number, "Give the order's number.", "number", 40)
    station = Station.objects.filter(pk=order.station_id).first()
    if station is None:
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    _refuse_promise(order.promised_on, order.sent_on, today)
    _refuse_order(unit, shop, number)
    _refuse_leaving(unit, order.sent_on, at)
    move = MovementFact(
        unit.pk,
        "sent",
        PlaceAt(Place.SHOP, name=shop),
        when_on(order.sent_on, station.time_zone, at),
        document=f"order {number}",
        reason=order.words.strip()[:200],
    )
    (done_move,) = record_asked(
        by=by, rows=[move], act_id=uuid5(act_id, "sent"), at=at, is_strict=True
    )
    return ShopOrder.objects.create(
        act_id=act_id,
        unit=unit,
        movement_id=done_move.movement_id,
        shop=shop,
        number=number,
        station=station,
        works=list(order.works),
        words=order.words.strip()[:300],
        sent_on=order.sent_on,
        promised_on=order.promised_on,
        recorded_at=at,
        recorded_by=by,
    )


def _refuse_promise(promised_on: date, sent_on: date, today: date) -> None:
    if promised_on < today:
        words = f"{day_words(promised_on)} is past: give the day that the shop promises it for."
        raise Refused("promised_in_the_past", words, "promised_on")
    if promised_on < sent_on:
        words = "The promise is before the sending: check both dates."
        raise Refused("promised_before_sending", words, "promised_on")


def _refuse_order(unit: Unit, shop: str, number: str) -> None:
    open_one = ShopOrder.objects.filter(unit=unit, returned=None).first()
    if open_one is not None:
        words = f"{unit_words(unit)} is at {open_one.shop} under order {open_one.number}: record its return first."
        raise Refused("at_the_shop_already", words, "unit")
    used = ShopOrder.objects.filter(shop=shop, number=number).select_related("unit__part_number")
    if other := used.first():
        words = f"{shop} has had order {number}, for {unit_words(other.unit)}: give another number."
        raise Refused("order_number_used", words, "number")


def _refuse_leaving(unit: Unit, on: date, at: datetime) -> None:
    """What is set aside is freed first, by who wants it sent; a suspected part is evidence and stays."""
    use = use_now(unit, Asked(on, at, with_expired=False))
    if use.reserved_for:
        words = (
            f"{use.reserved_by} has set {use.words} aside for {use.reserved_for}: free it first."
        )
        raise Refused("reserved_elsewhere", words, "unit")
    for each in use.holds:
        if each.startswith("suspected unapproved part"):
            words = f"{use.words} is held: {each}. It stays here until the doubt is cleared."
            raise Refused("unit_on_hold", words, "unit")


@transaction.atomic
def note_promise(
    *,
    by: User,
    order_id: int,
    promised_on: date,
    words: str,
    act_id: UUID,
    at: datetime,
    today: date,
) -> ShopPromise:
    """This will note what a shop promises now, or its answer to being chased (the same day again).

    Refuses another day that is past, and an order that has ended.
    """
    ask(by, "note_promise")
    told = {"order_id": order_id, "promised_on": promised_on, "words": words}
    rows = ShopPromise.objects.filter(act_id=act_id)
    if done := done_before(act_id, "note_promise", told, rows, by=by, at=at):
        return done
    order = _open_order(order_id)
    _refuse_ended(order)
    if promised_on != promised_of(order):
        _refuse_promise(promised_on, order.sent_on, today)
    elif not words.strip():
        raise Refused("missing", "Give another day, or what the shop answered.", "words")
    return ShopPromise.objects.create(
        order=order,
        act_id=act_id,
        promised_on=promised_on,
        words=words.strip()[:200],
        recorded_at=at,
        recorded_by=by,
    )


def promised_of(order: ShopOrder) -> date:
    """The day of the latest promise."""
    latest = order.promises.order_by("-pk").first()
    return latest.promised_on if latest else order.promised_on


def _open_order(order_id: int) -> ShopOrder:
    """The order, its unit held, so that two people end it one after the other."""
    found = ShopOrder.objects.filter(pk=order_id).select_related("station").first()
    if found is None:
        raise Refused("unknown_order", "There is no such shop order: look it up again.", "order")
    lock_unit(found.unit_id)
    return found


def _refuse_ended(order: ShopOrder) -> None:
    ended = ShopReturn.objects.filter(order=order).select_related("recorded_by").first()
    if ended is not None:
        words = f"{ended.recorded_by.shown_name} has recorded its return on {day_words(ended.returned_on)}."
        raise Refused("order_ended", words, "order")


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
    order = _open_order(back.order_id)
    _refuse_ended(order)
    unit = Unit.objects.select_related("part_number").get(pk=order.unit_id)
    unit = lock_unit(unit.pk)
    price = _refuse_back(order, unit, back)
    movement = _moved_back(by=by, order=order, unit=unit, back=back, act_id=act_id, at=at)
    paper = _record_paper(by, unit, back, act_id, at)
    if back.how == "done" and paper is not None:
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
        currency=back.currency.strip().upper(),
        words=back.words.strip()[:300],
        recorded_at=at,
        recorded_by=by,
    )


def _refuse_back(order: ShopOrder, unit: Unit, back: ShopBack) -> Decimal | None:
    if back.how not in dict(ShopReturn.HOW):
        raise Refused("unknown_how", "Say whether the work was done, or what became of it.", "how")
    if back.returned_on < order.sent_on:
        words = f"It was sent on {day_words(order.sent_on)}: it cannot be back before."
        raise Refused("returned_before_sending", words, "returned_on")
    if back.paper is not None:
        refuse_paper(back.paper, back.returned_on)
        refuse_file(back.paper.file)
        refuse_printed(back.printed_serial, unit.part_number, unit.serial_number)
        refuse_uncertified(back.paper, back.works, back.certifies)
    elif back.works or back.totals:
        words = "Works and totals are taken from a certificate: bring it, or leave them out."
        raise Refused("work_not_certified", words, "works")
    return _price(back)


def _price(back: ShopBack) -> Decimal | None:
    text, currency = back.price.strip(), back.currency.strip()
    if not text:
        return None
    try:
        price = Decimal(text)
    except InvalidOperation:
        price = Decimal("NaN")
    if not price.is_finite() or not 0 <= price <= MOST_MONEY:
        words = "This is no price: give an amount such as 12500.00."
        raise Refused("price_not_read", words, "price")
    if len(currency) != 3 or not currency.isascii() or not currency.isalpha():
        words = "Give the currency by its three letters, such as EUR."
        raise Refused("currency_not_read", words, "currency")
    return price.quantize(Decimal("0.01"))


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
    of_unit = OfUnit(unit.pk, back.works, back.totals)
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
