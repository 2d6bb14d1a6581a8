"""A large own spreadsheet taken, and taken again: nothing more is recorded, and it does not take long to see that."""

from __future__ import annotations

import sys
import time

import pytest

from equipment.models import Movement, Unit
from fleet.models import Aircraft, TypePosition
from fleet.own_sheets.said import Said
from scheduling.models import WorkDone
from tests.fleet.moving_in.test_large import fleet_of
from tests.fleet.own_sheets.books import written
from tests.sweeps import many

from .test_own_spreadsheets import brought, controller, refusals  # noqa: F401

pytestmark = pytest.mark.django_db
SAID = Said(station="QMB", type="T-100", months={"VEST OVH": "36"})
TABLES = (Unit, Movement, WorkDone, Aircraft, TypePosition)


def counted() -> list[int]:
    return [table.objects.count() for table in TABLES]


def taken(path, by) -> tuple[float, list[int]]:
    begun = time.monotonic()
    result, reader = brought(path, by, SAID)
    took = time.monotonic() - begun
    assert refusals(result)[:5] == []
    return took, [result.accepted, result.known, reader.found["differ"]]


# Thirty thousand, as large operators have them, in ``make faults``; what grew with their square is seen at five.
@pytest.mark.parametrize(
    "lines",
    [600, pytest.param(many(30_000, 5_000), marks=[pytest.mark.sweep, pytest.mark.slow])],
)
def test_the_same_lines_twice_change_nothing(controller, tmp_path, lines):  # noqa: F811
    path = written(fleet_of(lines), tmp_path / "fleet.xlsx")

    first, (_, _, differ) = taken(path, controller)
    kept = counted()
    second, (again, known, _) = taken(path, controller)

    assert kept[:3] == [lines, lines, lines]
    assert (again, counted()) == (0, kept)
    assert (known, differ) == (2 * lines, 0)
    sys.stdout.write(f"{lines} lines: taken in {first:.1f} s, again in {second:.1f} s\n")
    assert second < first + 1
