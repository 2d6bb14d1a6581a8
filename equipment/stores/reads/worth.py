"""What a stock cost, as far as its prices are on record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from equipment.common.money import money_words
from equipment.models import UnitPrice

from .stock import StockRow


@dataclass(frozen=True, slots=True)
class Worth:
    """``sums`` by currency, in words; ``unpriced`` pieces have no price on record and are in none of them."""

    sums: tuple[str, ...]
    unpriced: int


def worth_of(rows: Iterable[StockRow]) -> Worth:
    """The latest price of each unit times its pieces; another's units too, as they are listed. One question."""
    pieces = {row.unit_id: row.quantity for row in rows}
    prices = UnitPrice.objects.filter(unit__in=pieces).order_by("unit", "-paid_on", "-pk")
    found = list(prices.distinct("unit").values_list("unit", "amount", "currency"))
    sums: dict[str, Decimal] = {}
    for unit, amount, currency in found:
        sums[currency] = sums.get(currency, Decimal(0)) + amount * pieces[unit]
    unpriced = sum(pieces.values()) - sum(pieces[unit] for unit, *_ in found)
    told = tuple(money_words(amount, currency) for currency, amount in sorted(sums.items()))
    return Worth(told, unpriced)
