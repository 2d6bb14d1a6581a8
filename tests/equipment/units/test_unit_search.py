"""A unit is found by any part of a number, by an index and not by reading every unit."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import Unit
from equipment.units.reads import Asked, found
from fleet.house.pages import today
from scheduling.bench.scratch import fill

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


@pytest.fixture
def many(as_owner: Callable[[], AbstractContextManager[None]]) -> None:
    """20,000 units, and an index into which all of them are sorted, as the server does by itself."""
    with as_owner(), connection.cursor() as cursor:
        fill(20_000, today())
        cursor.execute("SELECT gin_clean_pending_list('unit_by_part_of_serial')")


def plan_of(text: str) -> str:
    with CaptureQueriesContext(connection) as asked:
        found(Asked(text=text))
    (sql,) = [each["sql"] for each in asked if "UPPER" in each["sql"] and "place" in each["sql"]]
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN {sql}")
        return "\n".join(line for (line,) in cursor.fetchall())


def test_part_of_a_serial_number_is_looked_up_in_its_index(many: None) -> None:
    serial = Unit.objects.order_by("-pk").values_list("serial_number", flat=True)[0]

    assert "unit_by_part_of_serial" in plan_of(serial[1:])
    assert [unit.serial_number for unit in found(Asked(text=serial[1:].lower())).units] == [serial]


def test_each_word_may_be_of_the_part_or_of_the_serial_number(many: None) -> None:
    unit = Unit.objects.select_related("part_number").order_by("-pk")[0]

    units = found(Asked(text=f"{unit.part_number.number[:-1]} {unit.serial_number[1:]}")).units

    assert unit.pk in {each.id for each in units}
    assert found(Asked(text="no-such-number")).units == []
