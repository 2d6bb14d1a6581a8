"""The shop loop: a unit is sent with an order, and the shop's promise noted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.tags import ask_of_condemned
from equipment.availability.acts.units import lock_unit, use_now, when_on
from equipment.common.said import station_coded, unit_row
from equipment.common.wording import unit_words
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt
from equipment.models import Place, ShopOrder, ShopPromise, ShopReturn, Unit
from equipment.segregation.facts import Asked
from equipment.stores.ports import known_works
from equipment.stores.reads.shop_loop import known_shops, promised_of
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import Heading, codes, day, number, text, yes_no
from fleet.acts.repeats import done_before, retry_after_clash
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Station, User
from fleet.words.said import day_words

from .shop_days import refuse_closed


def send_to_shop(
    *, by: User, order: NewOrder, act_id: UUID, at: datetime, today: date
) -> ShopOrder:
    """This will send a unit to a shop under an order, with the works asked and the day promised.

    Refuses a shop that is closed then, a promise that is past, an order that has ended, or that had this unit (several go under
    one number, each with its own promise), a unit set aside, held as suspected or recorded as fitted; asks of a condemned one.
    """
    ask(by, "send_to_shop")
    return retry_after_clash(lambda: _sent(by, order, act_id, at, today))


@transaction.atomic
def _sent(by: User, order: NewOrder, act_id: UUID, at: datetime, today: date) -> ShopOrder:
    rows = ShopOrder.objects.filter(act_id=act_id)
    if done := done_before(act_id, "send_to_shop", {"order": order}, rows, by=by, at=at):
        return done
    unit = lock_unit(order.unit_id)
    shop = refuse_blank(order.shop, "Name the shop.", "shop", 80)
    number = refuse_blank(order.number, "Give the order's number.", "number", 40)
    station = _station(order.station_id)
    refuse_closed(shop, order.sent_on)
    _refuse_promise(order.promised_on, order.sent_on, today)
    _refuse_order(unit, shop, number)
    _refuse_leaving(unit, order.sent_on, at)
    ask_of_condemned(unit, is_confirmed=order.is_confirmed)
    move = MovementFact(
        unit.pk,
        "sent",
        PlaceAt(Place.SHOP, name=shop),
        when_on(order.sent_on, station.time_zone, at),
        document=f"order {number}",
        reason=order.words.strip()[:200],
    )
    return ShopOrder.objects.create(
        act_id=act_id,
        unit=unit,
        movement_id=_moved_out(move, by=by, act_id=uuid5(act_id, "sent"), at=at),
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


def _station(station_id: int) -> Station:
    found = Station.objects.filter(pk=station_id).first()
    if found is None:
        raise Refused("unknown_station", "There is no such station: choose one.", "station")
    return found


def _moved_out(move: MovementFact, *, by: User, act_id: UUID, at: datetime) -> int:
    """The movement's id."""
    (moved,) = record_asked(by=by, rows=[move], act_id=act_id, at=at, is_strict=True)
    return moved.movement_id


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
    used = list(ShopOrder.objects.filter(shop=shop, number=number).values("unit", "returned"))
    if used and (unit.pk in {o["unit"] for o in used} or all(o["returned"] for o in used)):
        words = f"Order {number} of {shop} has ended, or had this unit: give another number."
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
    order = open_order(order_id)
    refuse_ended(order)
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


def open_order(order_id: int) -> ShopOrder:
    """The order, its unit held, so that two people end it one after the other."""
    found = ShopOrder.objects.filter(pk=order_id).select_related("station").first()
    if found is None:
        raise Refused("unknown_order", "There is no such shop order: look it up again.", "order")
    lock_unit(found.unit_id)
    return found


def refuse_ended(order: ShopOrder) -> None:
    ended = ShopReturn.objects.filter(order=order).select_related("recorded_by").first()
    if ended is not None:
        words = f"{ended.recorded_by.shown_name} has recorded its return on {day_words(ended.returned_on)}."
        raise Refused("order_ended", words, "order")


def works_to_ask() -> list[tuple[str, str]]:
    """The works that a shop may be asked for."""
    return [(each.code, each.name) for each in known_works()]


@dataclass(frozen=True, slots=True)
class NewOrder:
    """A unit goes to a shop: which works are asked for, and when it is promised back."""

    unit_id: int = unit_row()
    shop: str = text(
        "Shop",
        80,
        needed="Name the shop.",
        offers=known_shops,
        heading=Heading("Shop", "Its name."),
    )
    number: str = text(
        "Order number", 40, heading=Heading("Order", "The order's number.", ("order number",))
    )
    station_id: int = station_coded(
        "From station",
        help="A station's code.",
        heading=Heading("Station", "Where it comes back to."),
    )
    sent_on: date = day("Sent on", heading=Heading("Sent on", "The day."))
    promised_on: date = day(
        "Promised back by",
        heading=Heading("Promised on", "The day the shop promises it for."),
    )
    works: tuple[str, ...] = codes("Works asked for", 32, choices=works_to_ask)
    words: str = text(
        "Words for the shop", 300, default="", heading=Heading("Remarks", "Anything else.")
    )
    is_confirmed: bool = yes_no("Send it though it was condemned", help="If it was condemned.")


@dataclass(frozen=True, slots=True)
class NewPromise:
    """What a shop promises now, or what it answered."""

    order_id: int = number("The order", least=1, name="order")
    promised_on: date = day("Promised back by")
    words: str = text("What the shop said", 200, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderShown:
    id: int
    unit: int = shown("unit_id")
    shop: str
    number: str
    works: tuple[str, ...]
    sent_on: date
    promised_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseShown:
    order: int = shown("order_id")
    promised_on: date
    words: str


# --- declared ---------------------------------------------------------------------------------

SEND_TO_SHOP = Act(
    name="send_to_shop",
    does=send_to_shop,
    said=NewOrder,
    as_="order",
    needs_today=True,
    tag="Stores",
    summary="Send a unit to a shop",
    description="Sends a unit under an order, with the works asked and the day promised.",
    address="stores/orders",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 812,
        "shop": "Lee Shore Overhaul",
        "number": "PO-118",
        "station": "LYD",
        "sent_on": "2024-02-26",
        "promised_on": "2099-04-10",
        "works": ["overhaul"],
    },
    shows=OrderShown,
    answer={
        "id": 18,
        "unit": 812,
        "shop": "Lee Shore Overhaul",
        "number": "PO-118",
        "works": ["overhaul"],
        "sent_on": "2024-02-26",
        "promised_on": "2099-04-10",
    },
)
NOTE_PROMISE = Act(
    name="note_promise",
    does=note_promise,
    said=NewPromise,
    needs_today=True,
    tag="Stores",
    summary="Note a shop's promise",
    description="Notes what a shop promises now, or its answer to being chased.",
    address="stores/promises",
    example={
        "act_id": EXAMPLE_ID,
        "order": 18,
        "promised_on": "2099-04-20",
        "words": "Seal late.",
    },
    shows=PromiseShown,
    answer={"order": 18, "promised_on": "2099-04-20", "words": "Seal late."},
)
