"""An own spreadsheet brought in an empty house: the same loader, the same rules, its own lines."""

from __future__ import annotations

import datetime as dt
import uuid
from pathlib import Path

import pytest
from django.db.models import F

from equipment.common.wording import happened_on_words
from equipment.models import LifeStatement, Movement, Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.loading.batch import Bringing
from fleet.loading.outcomes import LoadResult
from fleet.loading.own import OwnReader
from fleet.loading.run import load_files
from fleet.models import Aircraft, TypePosition, User, UtilisationReading
from fleet.own_sheets.said import Said
from scheduling.engine.basis.result import Missing
from scheduling.models import DueItem, Limit, Programme, WorkDone
from scheduling.reckoning.recompute import recompute_units
from tests.fleet.own_sheets.books import BOOKS, DAY, on, written

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 11, 30, 9, tzinfo=dt.UTC)
MONTHS = {"SLIDE OVH": "36", "SLIDE-BTL HST": "60", "SLIDE LIFE": "180"}


@pytest.fixture
def controller(db) -> User:
    return User.objects.create_user("controller", roles=[CONTROLLER, ADMINISTRATOR])


def said(**more: object) -> Said:
    return Said(station="QMB", type="T-100", months=dict(MONTHS), **more)  # type: ignore[arg-type]


def brought(
    path: Path, by: User, what: Said, *, is_kept: bool = True
) -> tuple[LoadResult, OwnReader]:
    reader = OwnReader(what.as_json(), DAY)
    beside: dict[str, object] = {}

    def keep(result: LoadResult) -> bool:
        beside.update(reader.beside())
        return is_kept

    bringing = Bringing(by=by, at=NOW, today=DAY, key=uuid.uuid4())
    result = load_files([(path, path.name)], bringing, keep=keep, reader=reader)
    reader.found = beside  # type: ignore[attr-defined]
    return result, reader


def refusals(result: LoadResult) -> list[tuple[str, str, str]]:
    return [
        (sheet.table.kind.name if sheet.table else sheet.file, found.cell, found.message)
        for sheet in result.sheets
        for found in sheet.findings
        if not found.is_warning
    ]


def test_an_empty_house_takes_it_whole(controller, tmp_path):
    path = written(BOOKS["status"](), tmp_path / "status.xlsx")

    result, reader = brought(path, controller, said())

    assert refusals(result) == []
    assert Unit.objects.count() == 35
    assert Aircraft.objects.count() == 4
    assert set(Aircraft.objects.values_list("msn", flat=True)) == {""}
    assert TypePosition.objects.count() == 8
    assert Limit.objects.count() == 3
    assert WorkDone.objects.count() == 35
    assert reader.found["differ"] == 0
    assert reader.found["total"] == 16 * 3 + 3


def test_the_same_file_twice_changes_nothing(controller, tmp_path):
    path = written(BOOKS["status"](), tmp_path / "status.xlsx")
    brought(path, controller, said())
    before = Movement.objects.count()

    again, _ = brought(path, controller, said())

    assert again.accepted == 0
    assert refusals(again) == []
    assert Movement.objects.count() == before


def test_of_the_next_copy_only_what_changed_is_taken(controller, tmp_path):
    brought(written(BOOKS["status"](), tmp_path / "first.xlsx"), controller, said())
    newer = BOOKS["status"]()
    rows = newer["Status"]
    spare = next(row for row in rows if row and row[1:2] == ["STORES"])
    spare[6], spare[7] = on(2026, 11, 20), on(2029, 11, 20)

    result, _ = brought(written(newer, tmp_path / "second.xlsx"), controller, said())

    assert refusals(result) == []
    assert result.accepted == 1
    assert WorkDone.objects.count() == 36


def test_the_proof_is_there_before_anything_is_taken(controller, tmp_path):
    path = written(BOOKS["status"](), tmp_path / "status.xlsx")
    stated = said()
    stated.months["SLIDE-BTL HST"] = "48"

    _, reader = brought(path, controller, stated, is_kept=False)

    first = reader.found["groups"][0]
    assert (first["kind"], first["work"], first["count"]) == (
        "Slide bottle",
        "Hydrostatic test",
        16,
    )
    assert first["reason"] == "the sheet adds 60 months, the limit says 48"
    assert not Unit.objects.exists() and not DueItem.objects.exists()


@pytest.mark.parametrize(
    "book",
    [
        "works",
        "per_aircraft",
        "two_in_a_cell",
        "spares",
        "months_across",
        "no_item",
        "wrapped",
        "blocks",
        "at_doors",
        "under_doors",
        "totals",
        "five_clocks",
        "by_equipment",
    ],
)
def test_every_shape_is_taken_whole(controller, tmp_path, book):
    path = written(BOOKS[book](), tmp_path / f"{book}.xlsx")

    result, _ = brought(path, controller, said())
    again, _ = brought(path, controller, said())

    assert refusals(result) == []
    assert Unit.objects.exists()
    assert (again.accepted, refusals(again)) == (0, [])


def test_months_across_become_readings(controller, tmp_path):
    brought(written(BOOKS["months_across"](), tmp_path / "m.xlsx"), controller, said())

    assert UtilisationReading.objects.filter(aircraft__registration="Q-ABA").count() == 12


def test_hours_since_new_become_statements_and_an_aircrafts_totals_readings(controller, tmp_path):
    result, _ = brought(written(BOOKS["totals"](), tmp_path / "t.xlsx"), controller, said())

    assert refusals(result) == []
    stated = LifeStatement.objects.filter(unit__serial_number="DC072", stated_on=DAY)
    assert set(stated.values_list("measure__code", "since", "total")) == {
        ("FH", "new", 12_000 * 60 + 30),
        ("FC", "new", 6_000),
        ("FH", "overhaul", 800 * 60),
    }
    read = UtilisationReading.objects.filter(aircraft__registration="Q-TTA")
    assert set(read.values_list("measure__code", "total")) == {("FH", 21_000 * 60), ("FC", 9_000)}


def test_the_same_totals_a_week_later_are_not_stated_again(controller, tmp_path):
    """Else a list that nobody wrote on would take back what was flown since."""
    path = written(BOOKS["totals"](), tmp_path / "t.xlsx")
    brought(path, controller, said(day="2026-11-20"))
    sheets = BOOKS["totals"]()
    sheets["Cylinders"][1][5] = "12020:00"

    again, _ = brought(path, controller, said())
    newer, _ = brought(written(sheets, tmp_path / "n.xlsx"), controller, said())

    assert (again.accepted, refusals(again)) == (0, [])
    assert (newer.accepted, refusals(newer)) == (1, [])


def test_due_dates_follow(controller, tmp_path):
    brought(written(BOOKS["status"](), tmp_path / "status.xlsx"), controller, said())
    slide = Unit.objects.get(serial_number="04190")

    recompute_units([slide.pk], DAY)

    assert DueItem.objects.get(unit=slide, work__code="OVH").due_on == dt.date(2028, 1, 5)


def test_a_unit_without_its_day_of_installation_was_there_by_that_day(
    controller, tmp_path, as_owner
):
    brought(written(BOOKS["status"](), tmp_path / "status.xlsx"), controller, said())
    slide = Unit.objects.get(serial_number="4104")
    limit = Limit.objects.get(code="OVH-SLIDE")
    with as_owner():
        limit.clocks.update(counts_from="this_installation", first_from="")
        Programme.objects.update(facts_stamp=F("facts_stamp") + 1)  # the rules are others now

    recompute_units([slide.pk], DAY)

    movement = Movement.objects.get(unit=slide)
    assert movement.precision == "by"
    assert happened_on_words(movement) == "on or before 30 Nov 2026"
    item = DueItem.objects.get(unit=slide, work__code="OVH")
    assert item.due_on is None
    assert item.missing & Missing.INSTALLED


def test_a_unit_with_its_day_of_installation_has_it(controller, tmp_path):
    brought(written(BOOKS["per_aircraft"](), tmp_path / "p.xlsx"), controller, said())

    assert set(Movement.objects.values_list("precision", flat=True)) == {"day"}


def moved(sheets: dict[str, list[list[object]]], serial: str, onto: dict[int, object]) -> None:
    row = next(row for row in sheets["Slides"] if serial in row)
    for at, cell in onto.items():
        row[at] = cell


def test_of_a_newer_copy_a_unit_elsewhere_is_a_movement(controller, tmp_path):
    first = said(day="2026-11-20")
    first.of("Slides").ways = "day-first"
    brought(written(BOOKS["slashed"](), tmp_path / "first.xlsx"), controller, first)
    newer = BOOKS["slashed"]()
    moved(newer, "S0001", {0: "Q-SBA"})
    moved(newer, "S1001", {0: "Q-SAA"})

    result, _ = brought(written(newer, tmp_path / "second.xlsx"), controller, first_later(first))

    assert refusals(result) == []
    assert {
        unit.serial_number: str(unit.aircraft)
        for unit in Unit.objects.filter(serial_number__in=("S0001", "S1001"))
    } == {"S0001": "Q-SBA", "S1001": "Q-SAA"}


def first_later(what: Said) -> Said:
    what.day = "2026-11-29"
    return what


def test_a_unit_that_nobody_can_name_leaves_its_place_with_nothing_recorded(tmp_path, controller):
    """Without the place the aircraft would look complete, and nothing would ever fall due there."""
    head = ["A/C", "LOC", "ITEM", "P/N", "S/N", "LAST O/H", "NEXT O/H"]
    rows = [
        head,
        ["Q-KBA", "L1", "SLIDE", "ZZ-100", "04108", on(2024, 5, 2), on(2027, 5, 2)],
        ["Q-KBA", "L2", "SLIDE", "ZZ-100", "TBA", "-", "O/C"],
        ["Q-KBA", "R2", "SLIDE", "ZZ-100", "TBA", "-", "O/C"],
    ]
    path = written({"Status": rows}, tmp_path / "own.xlsx")
    left_out = said(left=["Status!4"])

    result, _ = brought(path, controller, left_out)

    assert result.is_applied, refusals(result)
    assert Unit.objects.count() == 1
    kept = set(TypePosition.objects.values_list("name", flat=True))
    assert {name.partition(",")[0] for name in kept} == {"Door 1 left", "Door 2 left"}
