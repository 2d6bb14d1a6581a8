"""The demonstration loaded on other days is as telling: the ends of months, a leap day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command
from django.test import TransactionTestCase
from pytest_django.plugin import DjangoDbBlocker

from fleet.models import UtilisationReading
from scheduling.due.due_list import due_rows
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import DueRow

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

# serial number, limit, its band on the reference day
TELLING = [
    ("C0061", "ELT-BAT", "overdue"),
    ("X0411", "OXY-HYD5", "overdue"),
    ("M0911", "MEGA-FCT", "overdue"),
    ("E0999", "EXT-6Y", "overdue"),
    ("B0902", "SLIDE-OVH", "out-of-phase"),
    ("R0905", "RAFT-OVH", "out-of-phase"),
    ("W0914", "OWS-OVH", "out-of-phase"),
    ("M0907", "MEGA-FCT", "out-of-phase"),
    ("T4102", "DIR-26-04", "out-of-phase"),
    ("X0221", "OXY-HYD5", "next-check"),
    ("R4402", "RAFT-OVH", "next-check"),
    ("B0815", "SLIDE-OVH", "later-check"),
    ("B0816", "SLIDE-OVH", "beyond-plan"),
    ("T0724", "BTL-LIFE3", "later-check"),
    ("V0010", "VEST-INSP", "later-check"),
    ("X0999", "OXY-HYD5", "no-basis"),
    ("R7701", "RAFT-OVH", "no-basis"),
]


@pytest.fixture(scope="module", params=[date(2027, 1, 31), date(2028, 2, 29), date(2030, 12, 1)])
def rows(
    request: pytest.FixtureRequest, django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[list[DueRow]]:
    with django_db_blocker.unblock():
        call_command("load_demo", today=request.param, stdout=StringIO())
        yield list(due_rows(filters=DueFilters(), as_of=request.param))
        TransactionTestCase(methodName="__init__")._fixture_teardown()


def test_hard_cases_keep_their_bands(rows: list[DueRow]) -> None:
    bands = {(row.serial_number, row.limit): row.band for row in rows}

    assert {(serial, limit): bands[serial, limit] for serial, limit, _ in TELLING} == {
        (serial, limit): band for serial, limit, band in TELLING
    }


def test_the_list_keeps_its_proportions(rows: list[DueRow]) -> None:
    bands = Counter(row.band for row in rows)

    assert 2 <= bands["overdue"] <= 5
    assert 6 <= bands["out-of-phase"] <= 15
    assert bands["no-basis"] == 6
    assert 40 <= bands["next-check"] <= 150


def test_only_the_reading_meant_to_runs_backwards(rows: list[DueRow]) -> None:
    backwards = UtilisationReading.objects.filter(is_conforming=False)

    assert {reading.aircraft.registration for reading in backwards} == {"Q7-VAJ"}
    assert backwards.count() == 2
