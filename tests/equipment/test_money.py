"""Amounts as people write them, and what a charge comes to: by hand-worked cases."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from equipment.common.money import charged, money
from fleet.house.refusals import Refused


@pytest.mark.parametrize(
    ("written", "amount"),
    [
        ("12500.00", "12500.00"),
        ("480,50", "480.50"),
        ("480,5", "480.50"),
        ("0", "0.00"),
        ("12 500,50", "12500.50"),
        ("12\u202f500.5", "12500.50"),
    ],
)
def test_an_amount_is_read_with_a_point_or_a_comma(written, amount):
    assert money(written, "eur") == (Decimal(amount), "EUR")


@pytest.mark.parametrize(
    "written", ["1,234", "1.234", "1,234.50", "-5", "1e3", "NaN", "9" * 15, "\u0663", "12 50", "a"]
)
def test_what_could_be_two_amounts_or_none_is_refused(written):
    with pytest.raises(Refused) as refused:
        money(written, "EUR", field="charge")
    assert [(each.code, each.field) for each in refused.value.refusals] == [
        ("price_not_read", "charge")
    ]


@pytest.mark.parametrize("currency", ["", "EU", "EURO", "E1R", "€€€"])
def test_an_amount_has_a_currency_of_three_letters(currency):
    with pytest.raises(Refused) as refused:
        money("5", currency)
    assert [each.code for each in refused.value.refusals] == ["currency_not_read"]


def test_no_amount_is_none_whatever_the_currency():
    assert money("  ", "EUR") == (None, "")


@pytest.mark.parametrize(
    ("per", "first", "on", "times"),
    [
        ("once", "2027-01-01", "2027-12-31", 1),
        ("day", "2027-01-01", "2027-01-01", 1),
        ("day", "2027-01-01", "2027-01-31", 31),
        ("week", "2027-01-01", "2027-01-07", 1),
        ("week", "2027-01-01", "2027-01-08", 2),
        ("month", "2027-01-01", "2027-01-31", 1),
        ("month", "2027-01-01", "2027-02-01", 2),
        ("month", "2027-01-31", "2027-02-28", 1),
        ("month", "2027-01-31", "2027-03-01", 2),
        ("month", "2027-01-31", "2027-03-30", 2),
        ("month", "2027-01-31", "2027-03-31", 3),
        ("month", "2027-12-15", "2028-01-14", 1),
        ("day", "2027-02-01", "2027-01-31", 0),
    ],
)
def test_what_is_begun_counts_whole(per, first, on, times):
    found = charged(Decimal("40.00"), per, date.fromisoformat(first), date.fromisoformat(on))

    assert found == Decimal("40.00") * times


def test_nothing_agreed_is_nothing_counted():
    assert charged(None, "day", date(2027, 1, 1), date(2027, 2, 1)) is None
