"""The demonstration's hard cases against dates worked by hand (see demo_fixtures/README.md)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command
from django.test import TransactionTestCase
from pytest_django.plugin import DjangoDbBlocker

from demo_fixtures.copies import reference_day
from scheduling.queries import due_rows
from scheduling.rows import DueFilters, DueRow

Rows = dict[tuple[str, str], DueRow]


pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[str]:
    """The demonstration loaded once for its reference day; the tables are emptied after the last test."""
    with django_db_blocker.unblock():
        said = StringIO()
        call_command("load_demo", today=reference_day(), stdout=said)
        yield said.getvalue()
        TransactionTestCase(methodName="__init__")._fixture_teardown()


@pytest.fixture(scope="module")
def rows(demo: str, django_db_blocker: DjangoDbBlocker) -> list[DueRow]:
    return list(due_rows(filters=DueFilters(), as_of=reference_day()))


@pytest.fixture(scope="module")
def by_case(rows: list[DueRow]) -> Rows:
    return {(row.serial_number or row.registration, row.limit): row for row in rows}


# serial number, limit, last good day worked by hand, band
WORKED = [
    # overhauled 20 Mar 2026, in store 1 to 30 Apr (29 days) -> 18 Apr 2026 + 12 months (over 15)
    ("B0815", "SLIDE-OVH", date(2027, 4, 18), "later-check"),
    # overhauled 18 Dec 2025, in store 30 Dec to 28 Jan (29 days) -> 16 Jan 2026 + 36 months (14)
    ("B0816", "SLIDE-OVH", date(2029, 1, 16), "beyond-plan"),
    # 15 years after 20 Mar 2012; 36 months from 10 Feb 2025 would be later
    ("R0817", "RAFT-OVH", date(2027, 3, 20), "next-check"),
    # December 2021 + 60 months, to its last day
    ("X0221", "OXY-HYD5", date(2026, 12, 31), "next-check"),
    # 3 Mar 2025 + 24 months, to the last day of that month
    ("D2403", "DCY-WGT", date(2027, 3, 31), "later-check"),
    # July 2003 + 24 years; the test of June 2026 + 3 years may not outlive it
    ("T0724", "BTL-LIFE3", date(2027, 7, 31), "later-check"),
    ("T0724", "BTL-HYD3", date(2027, 7, 31), "later-check"),
    # made 10 Feb 2024, in store 22 Feb to 9 Oct 2024 (230 days) -> 27 Sep 2024 + 36 months
    ("B2601", "SLIDE-OVH", date(2027, 9, 27), "later-check"),
    # made 1 Mar 2023, in store from 13 Mar 2023, 12 months of it (366 days) -> 1 Mar 2024 + 36
    ("B2602", "SLIDE-OVH", date(2027, 3, 1), "later-check"),
    # made 10 Jan 2018, 2,501 days in store at half: 1,250 -> 13 Jun 2021 + 120 months
    ("H0050", "HOOD-LIFE", date(2031, 6, 13), "in-store"),
    # May 2018 + 120 months, before 18 Apr 2024 + 60
    ("LOT-1805/01", "CART-LIFE", date(2028, 5, 31), "beyond-plan"),
    # 18 Apr 2024 + 60 months, before October 2023 + 120
    ("LOT-2310/01", "CART-LIFE", date(2029, 4, 18), "beyond-plan"),
    ("LOT-2602", "CART-LIFE", date(2036, 2, 29), "in-store"),
    # September 2020 + 84 months by proof pressure, + 144 by water jacket
    ("E0707", "EXT-HYD", date(2027, 9, 30), "beyond-plan"),
    ("E1212", "EXT-HYD", date(2032, 9, 30), "beyond-plan"),
    # recharged 7 Oct 2024 + 72 months, to the month's end
    ("E0606", "EXT-6Y", date(2030, 10, 31), "beyond-plan"),
    # due 10 Feb 2026, done ten days later inside 15 days: from the original due date
    ("E0315", "EXT-WGT", date(2027, 2, 10), "later-check"),
    # April 2025 + half of 72 months
    ("C0060", "ELT-BAT", date(2028, 4, 30), "beyond-plan"),
    # March 2017 (good to the 31st) + 120 months
    ("V0010", "VEST-INSP", date(2027, 3, 31), "later-check"),
    # overhauled 3 Nov 2023 + 36 months + 60 days of extension
    ("R4402", "RAFT-OVH", date(2027, 1, 2), "next-check"),
    # August 2021 + 60 months
    ("X0411", "OXY-HYD5", date(2026, 8, 31), "overdue"),
    ("B0902", "SLIDE-OVH", date(2026, 12, 8), "out-of-phase"),
    # 2 Nov 2025 + 365 days
    ("M0911", "MEGA-FCT", date(2026, 11, 2), "overdue"),
    # July 2020 + 72 months
    ("E0999", "EXT-6Y", date(2026, 7, 31), "overdue"),
]


@pytest.mark.parametrize(("serial", "limit", "due_on", "band"), WORKED)
def test_falls_due_on_the_day_worked_by_hand(
    by_case: Rows, serial: str, limit: str, due_on: date, band: str
) -> None:
    row = by_case[serial, limit]

    assert (row.due_on, row.band) == (due_on, band)
