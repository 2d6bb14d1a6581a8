"""Amounts of money as people write them, and what a charge comes to. Pure."""

from __future__ import annotations

import calendar
import re
from datetime import date, timedelta
from decimal import Decimal

from fleet.house.refusals import Refused

MOST_MONEY = Decimal("9999999999.99")
DAYS = {"day": 1, "week": 7}
#: Groups of thousands apart by a blank, then a point or a comma and at most two digits.
_AMOUNT = re.compile(r"(\d+|\d{1,3}(?: \d{3})+)(?:[.,](\d{1,2}))?", re.ASCII)


def money(amount: str, currency: str, *, field: str = "price") -> tuple[Decimal | None, str]:
    """An amount and its currency as given; (None, "") where no amount is. ``480,50`` is ``480.50``; a comma before
    three digits could be thousands and is refused, as is an amount without its currency's three letters."""
    written = " ".join(amount.split())
    if not written:
        return None, ""
    found = _AMOUNT.fullmatch(written)
    price = Decimal(f"{found[1].replace(' ', '')}.{found[2] or 0}") if found else Decimal("NaN")
    if not price.is_finite() or price > MOST_MONEY:
        words = "This is no amount of money: give one such as 12500.00."
        raise Refused("price_not_read", words, field)
    code = currency.strip()
    if len(code) != 3 or not code.isascii() or not code.isalpha():
        words = "Give the currency by its three letters, such as EUR."
        raise Refused("currency_not_read", words, "currency")
    return price.quantize(Decimal("0.01")), code.upper()


def charged(amount: Decimal | None, per: str, begun_on: date, on: date) -> Decimal | None:
    """What a charge comes to from the day it begins until and with a day; None where none is agreed.

    A day, week or month that is begun counts whole; months are counted from the first day, each from there.
    Nothing is charged before it begins.
    """
    if amount is None:
        return None
    if on < begun_on:
        return Decimal("0.00")
    if per in DAYS:
        return amount * ((on - begun_on).days // DAYS[per] + 1)
    if per == "month":
        count = 1
        while _months_on(begun_on, count) <= on:
            count += 1
        return amount * count
    return amount


def _months_on(first: date, months: int) -> date:
    """The same day so many months on; the last of a month that has no such day, and then the day after it."""
    year, month = divmod(first.month - 1 + months, 12)
    year, month = first.year + year, month + 1
    last = calendar.monthrange(year, month)[1]
    return date(year, month, min(first.day, last)) + timedelta(days=first.day > last)


def money_words(amount: Decimal, currency: str) -> str:
    """``1 480.50 EUR``."""
    return f"{amount:,.2f} {currency}".replace(",", "\u202f").strip()


def charge_words(amount: Decimal | None, per: str, currency: str) -> str:
    """``40.00 EUR a day``; empty where none is agreed."""
    if amount is None:
        return ""
    said = {"day": " a day", "week": " a week", "month": " a month"}.get(per, " once")
    return money_words(amount, currency) + said
