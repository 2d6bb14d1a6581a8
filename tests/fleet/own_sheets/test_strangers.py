"""Own workbooks of other shapes: what each of them tells, and where it stands in the owner's sheet."""

from __future__ import annotations

import datetime as dt

import pytest

from fleet.intake.files import RawSheet
from fleet.intake.stamps import Stamp
from fleet.own_sheets.counted import interval_added, total_at_work
from fleet.own_sheets.gathered import OnRecord
from fleet.own_sheets.house import House
from fleet.own_sheets.said import Said
from fleet.own_sheets.whole import Understood, tables_from
from fleet.own_sheets.words.counts import CYCLES, HOURS
from fleet.own_sheets.words.days import day_in, looks_like_a_day

from . import arrivals, newcomers, strangers
from .books import DAY, Rows
from .test_seen import of

BOOKS = strangers.BOOKS | newcomers.BOOKS | arrivals.BOOKS


def book(name: str) -> Understood:
    return of(BOOKS[name]())


UNITS = {
    "cylinders": 6,
    "hard_time": 12,
    "by_aircraft_hours": 6,
    "facts_down": 16,
    "german": 9,
    "one_location": 10,
    "monthly_use": 3,
    "numbered_across": 12,
    "side_by_side": 8,
    "worded_dates": 8,
    "french": 8,
    "spanish": 14,
    "german_halls": 15,
    "months_down": 9,
    "stamped": 25,
    "portuguese": 19,
    "vests_across": 24,
    "italian_across": 8,
}


@pytest.mark.parametrize("name", sorted(BOOKS))
def test_every_unit_is_told_once_and_nothing_is_in_the_way(name):
    whole = book(name)

    assert len({one.key for one in whole.taken}) == len(whole.taken) == UNITS[name]
    assert whole.faults == []
    assert {question.field for question in whole.questions} <= {"type", "station"}
    assert all(one.is_spare or (one.aircraft and one.place) for one in whole.taken)


def test_hours_of_a_unit_tell_its_interval_and_its_total_at_the_last_work():
    one = book("hard_time").taken[1]

    assert interval_added(one, HOURS, "OVH") == 4000 * 60
    assert total_at_work(one, HOURS, "OVH") == (18001 - 950) * 60


def test_hours_since_overhaul_without_its_day_are_said_and_not_counted_from_new():
    sheets = BOOKS["hard_time"]()
    said = Said(station="QMB", type="T", hours={"DOORCYL OVH": "4000"})

    from_new = clocks_of(sheets, said)

    assert [doubt.code for doubt in book("hard_time").doubts] == ["no_day"]
    assert from_new == [("FH", "4000", "")]


def clocks_of(sheets: dict[str, Rows], said: Said) -> list[tuple[object, ...]]:
    raws = [RawSheet(name, rows) for name, rows in sheets.items()]
    _, tables = tables_from(
        raws, said, House(), day=DAY, file="own", ask_record=lambda numbers: on_record()
    )
    clocks = next(table for table in tables if table.kind.name == "Clocks").columns
    return list(
        zip(
            clocks["measure"],
            clocks["amount"],
            (c or "" for c in clocks["first_from"]),
            strict=True,
        )
    )


def on_record():

    return OnRecord()


def test_positions_across_keep_the_owners_cells():
    whole = book("facts_down")

    sheet = whole.sheets[0]
    bottle = whole.taken[3]
    assert (bottle.place, bottle.item, bottle.serial) == ("R1", "BOTTLE", "BR0188")
    assert bottle.next["HST"] == Stamp(dt.date(2028, 4, 2), "day")
    assert sheet.cell_name(sheet.column("serial"), bottle.row) == "C9"
    assert sheet.cell_name(sheet.column("next:HST"), bottle.row) == "C11"


def test_tables_beside_each_other_keep_the_owners_cells():
    whole = book("side_by_side")

    sheet, one = whole.sheets[0], whole.taken[5]
    assert (one.aircraft, one.place, one.serial) == ("Q-SSB", "1R", "SR166")
    assert sheet.cell_name(sheet.column("serial"), one.row) == "K4"


def test_a_mended_cell_of_such_a_sheet_is_mended_by_the_owners_name():
    said = Said(mended={"Q-FAA!C4": "SR9999"})

    whole = of(BOOKS["facts_down"](), said)

    assert [one.serial for one in whole.taken][2] == "SR9999"


def test_each_months_use_is_counted_up_from_the_total_brought_forward():
    grid = book("monthly_use").sheets[0].grid

    assert grid is not None and not grid.is_use
    first, second = grid.readings[:2]
    assert (first.aircraft, first.on, first.cell) == ("Q-MUA", dt.date(2026, 6, 30), "21210")
    assert int(str(second.cell)) - int(str(first.cell)) == BOOKS["monthly_use"]()["UTIL"][2][4]


def test_months_that_do_not_add_up_to_their_total_are_a_suspicion():
    sheets = BOOKS["monthly_use"]()
    sheets["UTIL"][2][-1] += 500  # type: ignore[operator]

    doubts = {doubt.code: doubt for doubt in of(sheets).doubts}

    assert "add up to" in doubts["falling_total"].lines[0].says


def test_without_any_total_the_use_of_months_tells_no_total():
    sheets = BOOKS["monthly_use"]()
    for row in sheets["UTIL"][1:]:
        del row[-1], row[2]

    grid = of(sheets).sheets[0].grid

    assert grid is not None and grid.is_use


def test_words_around_a_date_are_no_part_of_it():
    whole = book("worded_dates")

    assert [one.next["INSP"] for one in whole.taken[:4]] == [
        Stamp(dt.date(2027, 1 + n, 9), "day") for n in range(4)
    ]
    assert whole.taken[2].notes == ("DUE FOR INSPECTION: 09 Mar 2027 (C-CHECK)",)


def test_what_is_typed_as_a_limit_and_is_none_is_asked_again():
    said = Said(months={"SLIDE OVH": "three years"}, hours={"SLIDE OVH": "x"})

    asked = [question.sentence for question in of(BOOKS["side_by_side"](), said).questions]

    assert "'three years' is no number of months (1 to 1200): slide ovh." in asked
    assert "'x' cannot be read as hours: slide ovh." in asked


def test_an_interval_and_a_next_one_may_say_dates_and_hours_together():
    rows: Rows = [
        ["A/C", "POS", "ITEM", "P/N", "S/N", "TASK", "INTERVAL", "LAST DONE", "NEXT DUE"],
        [
            "Q-ABA",
            "1L",
            "SLIDE",
            "K-1",
            "S111",
            "Inspection",
            "36 MO / 3000 FH",
            "3 Mar 2025",
            "3 Mar 2028 / 23,400 FH",
        ],
        ["Q-ABA", "1R", "SLIDE", "K-1", "S112", "Inspection", "500 FC", "4 Mar 2025", "11,900 FC"],
    ]

    first, second = of({"Due": rows}).taken

    assert interval_added(first, HOURS, "INSP") == 3000 * 60
    assert first.interval["INSP"] == "36 MO"
    assert first.next["INSP"] == Stamp(dt.date(2028, 3, 3), "day")
    assert first.counts["next-fh", "INSP"].cell == "23,400"
    assert interval_added(second, CYCLES, "INSP") == 500


def test_months_that_few_lines_add_are_no_proposal():
    added = {each.key: each for each in book("one_location").added}

    assert (added["OXYGEN WGT"].months, added["OXYGEN WGT"].agree) == (120, 2)
    assert added["OXYGEN WGT"].proposed == ""
    assert added["OXYGEN HST"].proposed == "60"


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("05-ene-27", dt.date(2027, 1, 5)),
        ("5. März 2027", dt.date(2027, 3, 5)),
        ("12 août 2026", dt.date(2026, 8, 12)),
        ("3 de dic. de 2026", dt.date(2026, 12, 3)),
        ("Mai 2027", dt.date(2027, 5, 1)),
    ],
)
def test_months_are_read_in_three_more_tongues(text, day):
    assert day_in(text, "").on == day


@pytest.mark.parametrize("text", ["5 days ago 26", "ene", "set 4 26 7", "mai"])
def test_what_is_no_date_is_not_made_one(text):
    assert not looks_like_a_day(text)


def test_where_headings_are_foreign_the_day_stands_first_and_is_not_asked():
    whole = book("german_halls")

    assert whole.taken[0].done["OVH"] == Stamp(dt.date(2024, 1, 2), "day")
    assert {question.field for question in whole.questions} == {"type", "station"}


def test_months_down_with_aircraft_across_are_totals():
    grid = book("months_down").sheets[0].grid

    last = [each for each in grid.readings if each.row == 8]
    assert [(e.aircraft, e.what, e.on, e.cell) for e in last][:3] == [
        ("Q-MDA", "hours", dt.date(2026, 11, 30), 10000),
        ("Q-MDA", "cycles", dt.date(2026, 11, 30), 4450),
        ("Q-MDB", "hours", dt.date(2026, 11, 30), 19000),
    ]
    assert not grid.is_use


def test_a_foreign_word_for_spares_takes_its_lines_off_the_aircraft():
    assert [one.is_spare for one in book("spanish").taken][-3:] == [False, True, True]
