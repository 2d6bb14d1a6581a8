"""Hours and cycles of an own spreadsheet: its own next totals beside the reckoned ones, in an empty house."""

from __future__ import annotations

import pytest

from equipment.models import LifeStatement, Unit
from fleet.models import UtilisationReading
from fleet.own_sheets.said import Said
from scheduling.models import Clock, WorkDone
from tests.fleet.own_sheets import newcomers, strangers
from tests.fleet.own_sheets.books import written

from .test_own_spreadsheets import brought, controller, refusals  # noqa: F401

BOOKS = strangers.BOOKS | newcomers.BOOKS
pytestmark = pytest.mark.django_db


def said(**hours: str) -> Said:
    return Said(station="QMB", type="T-100", **hours)  # type: ignore[arg-type]


def groups(reader) -> list[tuple[int, str]]:
    return [(group["count"], group["reason"]) for group in reader.found["groups"]]


@pytest.mark.parametrize("book", sorted(BOOKS))
def test_every_other_shape_is_taken_whole_and_twice_changes_nothing(controller, tmp_path, book):  # noqa: F811
    path = written(BOOKS[book](), tmp_path / f"{book}.xlsx")

    result, _ = brought(path, controller, said())
    again, _ = brought(path, controller, said())

    assert refusals(result) == []
    assert Unit.objects.exists()
    assert (again.accepted, refusals(again)) == (0, [])


def test_totals_by_the_aircrafts_hours_are_the_same_as_reckoned(controller, tmp_path):  # noqa: F811
    path = written(BOOKS["by_aircraft_hours"](), tmp_path / "hours.xlsx")

    result, reader = brought(path, controller, said(hours={"SLIDE INSP": "1500"}))

    assert refusals(result) == []
    assert Clock.objects.get().measure == "FH"
    assert UtilisationReading.objects.count() == 2 * 2 + 6 * 2
    assert groups(reader) == [
        (6, "the same hours left"),
        (6, "the same, by the aircraft's hours"),
    ] or groups(reader) == [
        (6, "the same, by the aircraft's hours"),
        (6, "the same hours left"),
    ]


def test_a_limit_of_other_hours_is_the_reason(controller, tmp_path):  # noqa: F811
    path = written(BOOKS["by_aircraft_hours"](), tmp_path / "hours.xlsx")

    _, reader = brought(path, controller, said(hours={"SLIDE INSP": "1200"}), is_kept=False)

    assert {reason for _, reason in groups(reader)} == {
        "the sheet adds 1\u202f500:00 FH, the limit says 1\u202f200:00 FH"
    }


def test_the_units_own_hours_with_the_day_of_its_overhaul(controller, tmp_path):  # noqa: F811
    sheets = BOOKS["hard_time"]()
    rows = sheets["HT"]
    rows[2].append("OVH date")
    for row in rows[3:]:
        row.append("14 Feb 2025")
    path = written(sheets, tmp_path / "hours.xlsx")

    result, reader = brought(path, controller, said(hours={"DOORCYL OVH": "4000"}))

    assert refusals(result) == []
    assert WorkDone.objects.filter(total_minutes=(18001 - 950) * 60).exists()
    assert LifeStatement.objects.filter(total=18001 * 60).exists()
    assert sorted(groups(reader)) == [
        (12, "the same hours left"),
        (12, "the same, by the unit's own hours"),
    ]


def test_hours_since_an_overhaul_of_no_day_say_what_they_lack(controller, tmp_path):  # noqa: F811
    path = written(BOOKS["hard_time"](), tmp_path / "hours.xlsx")

    _, reader = brought(path, controller, said(hours={"DOORCYL OVH": "4000"}), is_kept=False)

    assert {reason for _, reason in groups(reader)} == {
        "no total can be reckoned: when the work was last done is not on record"
    }
