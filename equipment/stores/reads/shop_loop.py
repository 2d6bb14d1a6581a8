"""What is at the shops: late or in time, what it cost before, and how long they take."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.db.models import Count, Max, Min, QuerySet

from equipment.common.wording import unit_words
from equipment.models import Place, ShopOrder, ShopReturn, StoresRule, Unit
from equipment.stores.ports import NestedWork, known_works, nested_scope

from .turn_times import TurnTime, turn_time


@dataclass(frozen=True, slots=True)
class AtShop:
    """One open order: ``promised_on`` by the latest promise, ``days_late`` nought where it is in time.

    ``works`` are the names of those asked for, ``expected_days`` the turn time of its part and shop,
    ``last_words`` what the shop last said.
    """

    order_id: int
    unit_id: int
    unit: str
    shop: str
    number: str
    works: tuple[str, ...]
    sent_on: date
    promised_on: date
    expected_days: int
    days_late: int
    last_words: str

    @property
    def is_late(self) -> bool:
        return self.days_late > 0


@dataclass(frozen=True, slots=True)
class PartAtShop:
    """The loop of one part number at one shop: its turn time, what it last cost, and between what and what it did
    (``prices`` orders in that currency)."""

    part_number: str
    shop: str
    turn: TurnTime
    last_price: Decimal | None
    currency: str
    least_price: Decimal | None = None
    most_price: Decimal | None = None
    prices: int = 0


def at_shops(today: date) -> list[AtShop]:
    """Every open order, the latest first, then by promise."""
    orders = list(_open().order_by("pk"))
    turns = turn_times((order.unit.part_number_id, order.shop) for order in orders)
    names = {each.code: each.name for each in known_works()}
    found = []
    for order in orders:
        promises = sorted(order.promises.all(), key=lambda each: each.pk)
        promised = promises[-1].promised_on if promises else order.promised_on
        turn = turns[order.unit.part_number_id, order.shop]
        found.append(
            AtShop(
                order.pk,
                order.unit_id,
                unit_words(order.unit),
                order.shop,
                order.number,
                tuple(names.get(code, code) for code in order.works),
                order.sent_on,
                promised,
                turn.usual,
                max(0, (today - promised).days),
                promises[-1].words if promises else "",
            )
        )
    return sorted(found, key=lambda each: (-each.days_late, each.promised_on, each.order_id))


def _open() -> QuerySet[ShopOrder]:
    orders = ShopOrder.objects.filter(returned=None).select_related("unit__part_number")
    return orders.prefetch_related("promises")


def turn_times(wanted: Iterable[tuple[int, str]]) -> dict[tuple[int, str], TurnTime]:
    """The turn time of each (part number, shop): learned from orders whose work was done."""
    keys = set(wanted)
    parts = {part for part, _ in keys}
    days: dict[tuple[int, str], list[int]] = defaultdict(list)
    done = ShopReturn.objects.filter(how="done", order__unit__part_number__in=parts)
    columns = ("order__unit__part_number", "order__shop", "order__sent_on", "returned_on")
    for part, shop, sent_on, returned_on in done.values_list(*columns):
        days[part, shop].append((returned_on - sent_on).days)
    rule = _rule_days(parts)
    return {key: turn_time(days[key], rule_days=rule[key[0]]) for key in keys}


def _rule_days(parts: set[int]) -> dict[int, int]:
    """The operator's own figure for each part number, by its kind."""
    rules = dict(StoresRule.objects.values_list("kind", "turn_days"))
    usual = StoresRule._meta.get_field("turn_days").get_default()
    units = Unit.objects.filter(part_number__in=parts)
    kinds = units.values_list("part_number", "part_number__kind").distinct()
    found = {part: rules.get(kind, usual) for part, kind in kinds}
    return {part: found.get(part, usual) for part in parts}


def known_shops() -> list[str]:
    """Every shop that was ever sent anything, by name: its turn time is learned under that name."""
    of_orders = ShopOrder.objects.values_list("shop", flat=True)
    of_moves = Place.objects.filter(sort=Place.SHOP).values_list("name", flat=True)
    return sorted({*of_orders.distinct(), *of_moves.distinct()} - {""})


def loop_history() -> list[PartAtShop]:
    """Each part number and shop that ever met: turn time, last price and its spread, by part number and shop."""
    pairs = ShopOrder.objects.values_list("unit__part_number", "unit__part_number__number", "shop")
    known = {(part, shop): number for part, number, shop in pairs.distinct()}
    turns = turn_times(known)
    spread = _spread_of_prices()
    prices = ShopReturn.objects.in_bulk([each.last for each in spread.values()])
    found = []
    for (part, shop), number in sorted(known.items(), key=lambda each: (each[1], each[0][1])):
        paid = spread.get((part, shop))
        priced = prices[paid.last] if paid else None
        found.append(
            PartAtShop(
                number,
                shop,
                turns[part, shop],
                priced.price if priced else None,
                priced.currency if priced else "",
                *((paid.least, paid.most, paid.orders) if paid else ()),
            )
        )
    return found


class _Paid(NamedTuple):
    """Of one part number at one shop in the currency of its last price: the return that has it, and the spread."""

    last: int
    least: Decimal
    most: Decimal
    orders: int


def _spread_of_prices() -> dict[tuple[int, str], _Paid]:
    """By part number and shop. One question."""
    rows = ShopReturn.objects.filter(price__isnull=False)
    grouped = rows.values_list("order__unit__part_number", "order__shop", "currency").annotate(
        Max("pk"), Min("price"), Max("price"), Count("pk")
    )
    found: dict[tuple[int, str], _Paid] = {}
    for part, shop, _, *paid in grouped:
        found[part, shop] = max(
            found.get((part, shop), _Paid(0, Decimal(), Decimal(), 0)), _Paid(*paid)
        )
    return found


@dataclass(frozen=True, slots=True)
class Ended:
    """An order that ended: what became of it, after how many days, how late by the first promise, at which price."""

    order_id: int
    unit: str
    shop: str
    number: str
    result: str
    returned_on: date
    days: int
    days_late: int
    price: Decimal | None
    currency: str
    results: str


def ended_orders(most: int = 50) -> list[Ended]:
    """The last orders that ended, the latest first, each with its own price and turn time. One question."""
    rows = ShopReturn.objects.select_related("order__unit__part_number")
    return [
        Ended(
            row.order_id,
            unit_words(row.order.unit),
            row.order.shop,
            row.order.number,
            row.get_how_display(),
            row.returned_on,
            (row.returned_on - row.order.sent_on).days,
            max((row.returned_on - row.order.promised_on).days, 0),
            row.price,
            row.currency,
            row.results,
        )
        for row in rows.order_by("-returned_on", "-pk")[:most]
    ]


def scope_of_order(order: ShopOrder) -> list[NestedWork]:
    """What falls due on the unit or in it before the works asked are due again, done as last promised."""
    return nested_scope(order.unit_id, list(order.works), promised_of(order))


def promised_of(order: ShopOrder) -> date:
    """The day of the latest promise."""
    latest = order.promises.order_by("-pk").first()
    return latest.promised_on if latest else order.promised_on
