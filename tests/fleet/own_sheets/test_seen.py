"""What the lines of own sheets tell: each unit once, where it is, with what was done."""

from __future__ import annotations

import datetime as dt

from fleet.intake.files import RawSheet
from fleet.intake.stamps import Stamp
from fleet.own_sheets.gathered import OnRecord
from fleet.own_sheets.house import House
from fleet.own_sheets.said import Said
from fleet.own_sheets.whole import Understood, tables_from, understood

from . import arrivals
from .books import BOOKS, DAY, Rows, on


def book(name: str, said: Said | None = None) -> Understood:
    return of(BOOKS[name](), said)


def of(sheets: dict[str, Rows], said: Said | None = None) -> Understood:
    raws = [RawSheet(name, rows) for name, rows in sheets.items()]
    return understood(raws, said or Said(), House(), DAY)


def test_merged_aircraft_cells_are_filled_down_until_the_spares():
    whole = book("status")

    fitted = [one for one in whole.seen if not one.is_spare]
    assert {one.aircraft for one in fitted} == {"Q-ABA", "Q-ABB", "Q-ABC", "Q-ABD"}
    assert [sum(one.aircraft == tail for one in fitted) for tail in ("Q-ABA", "Q-ABD")] == [8, 8]
    assert [one.serial for one in whole.seen if one.is_spare] == ["04190", "04191", "04192", "TBA"]


def test_totals_and_signatures_are_no_lines_and_are_said():
    layout = book("status").sheets[0].layout

    assert sorted(layout.out.values()) == ["a total, note or signature"] * 2
    assert len(layout.lines) == 36


def test_marks_are_not_dates():
    bottle = book("status").seen[1]

    assert bottle.marks["done:OVH"] == "on condition"
    assert bottle.done.get("OVH") is None
    assert isinstance(bottle.done["HST"], Stamp)


def test_a_line_for_each_work_tells_one_unit():
    whole = book("works")

    units = {one.key for one in whole.seen}
    assert len(units) == 9
    assert all(one.aircraft and one.place and one.item for one in whole.seen)
    assert {work for one in whole.seen for work in one.next} == {"WGT", "HST"}


def test_two_serials_of_one_cell_are_two_units_left_and_right():
    whole = book("two_in_a_cell")

    doors = [(one.serial, one.place) for one in whole.seen[:4]]
    assert doors == [
        ("07011", "DOOR 1 L"),
        ("07012", "DOOR 1 R"),
        ("07021", "DOOR 2 L"),
        ("07022", "DOOR 2 R"),
    ]
    assert len(whole.seen) == 25


def test_the_aircraft_is_in_the_sheets_name():
    whole = book("per_aircraft")

    assert {(one.aircraft, one.sheet) for one in whole.seen} == {
        ("Q-RTA", 0),
        ("Q-RTB", 1),
        ("Q-RTC", 2),
    }
    assert len(whole.seen) == 24


def test_a_sheet_of_spares_is_on_no_aircraft():
    whole = book("spares")

    assert [one.is_spare for one in whole.seen] == [False] * 12 + [True] * 5
    assert whole.seen[0].maker == "Quarry Works"


def test_months_across_are_totals_at_the_ends_of_months():
    whole = book("months_across")

    grid = whole.sheets[0].grid
    assert grid is not None and not grid.is_use
    assert len(grid.readings) == 48
    assert (grid.readings[0].aircraft, grid.readings[0].what, grid.readings[0].on) == (
        "Q-ABA",
        "hours",
        dt.date(2026, 6, 30),
    )


def test_the_total_of_all_aircraft_is_no_reading_of_the_last_one():
    grid = next(sheet.grid for sheet in of(arrivals.stamped()).sheets if sheet.name == "UTIL")

    last = [each.cell for each in grid.readings if each.aircraft == "Q-NBC"]
    assert last == [23000, 10400, 23260, 10510, 23520, 10620, 23780, 10730]
    assert grid.lines == [4, 5, 6]


def test_marks_on_the_centre_line_stand_apart_and_inside_the_drawing():
    said = Said(station="QMB", type="T", day=DAY.isoformat())
    raws = [RawSheet(name, rows) for name, rows in arrivals.vests_across().items()]
    _, tables = tables_from(
        raws, said, House(), day=DAY, file="own", ask_record=lambda numbers: OnRecord()
    )
    drawn = [table.columns for table in tables if table.kind.name == "Layout positions"]

    marks = [(x, y) for each in drawn for x, y in zip(each["x_cm"], each["y_cm"], strict=True)]
    assert len(set(marks)) == len(marks) == 8
    assert all(0 <= x <= 3400 and abs(y) <= 150 for x, y in marks)
    assert all(
        abs(a[0] - b[0]) >= 200 or abs(a[1] - b[1]) >= 80 for a in marks for b in marks if a != b
    )


def test_what_can_be_read_two_ways_is_asked_and_answered_without_bringing_it_again():
    asked = [question.field for question in book("slashed").questions]
    said = Said(station="QNM", type="T-1")
    said.of("Slides").ways = "day-first"
    answered = book("slashed", said)

    assert "ways" in asked
    assert [question.field for question in answered.questions] == []
    assert answered.seen[1].done["OVH"] == Stamp(dt.date(2025, 5, 2), "day")


def test_a_columns_own_dates_decide_day_or_month_first():
    sheets = BOOKS["slashed"]()
    sheets["Slides"][1][5] = "05/21/2025"

    assert of(sheets).sheets[0].columns[5].way == "month-first"


def test_only_what_is_truly_missing_is_asked():
    assert [question.field for question in book("status").questions] == ["type", "station"]
    assert [question.field for question in book("spares").questions] == ["type", "station"]


def test_the_sheets_own_interval_is_told():
    added = {
        (each.kind, each.work): (each.months, each.agree, each.lines)
        for each in book("status").added
    }

    assert added["SLIDE", "OVH"] == (36, 19, 19)
    assert added["SLIDE-BTL", "HST"] == (60, 16, 16)
    assert added["SLIDE", "LIFE"] == (180, 16, 16)


def test_a_column_named_twice_is_said_and_nothing_is_lost():
    said = Said()
    said.of("Slides").columns = {"POSITION": "serial"}

    whole = book("slashed", said)

    assert whole.faults == [
        "Columns B and E are both “Serial number”. Leave one of them, or say what the other is."
    ]


def test_suspicions():
    found = {doubt.code: doubt for doubt in book("status").doubts}

    assert found["no_serial"].lines[0].holds == "TBA"
    assert found["lost_zero"].lines[0].meant == "0" + found["lost_zero"].lines[0].holds
    assert found["part_in_ways"].lines[0].meant == "KA-1000-1"
    assert "ex Q-ABZ" in found["remarks"].lines[0].says


def test_a_unit_on_two_aircraft_a_date_past_its_life_and_a_falling_total():
    sheets = BOOKS["months_across"]()
    sheets["Hours"][3][6] = 20000
    status = sheets["Status"]
    status[13][4] = status[5][4]
    status[13][3] = status[5][3]
    status[7][7] = on(2031, 5, 1)

    found = {doubt.code for doubt in of(sheets).doubts}

    assert {"on_two", "past_life", "falling_total"} <= found


def test_a_doubt_is_mended_on_the_page():
    said = Said()
    before = next(d for d in book("status").doubts if d.code == "no_serial").lines[0]
    said.mended[before.key] = "04199"

    whole = book("status", said)

    assert "04199" in {one.serial for one in whole.taken}
    assert "no_serial" not in {doubt.code for doubt in whole.doubts}


def test_what_units_are_is_the_sheets_name():
    found = {each.kind for each in book("no_item").added}

    assert found == {"FIREX", "PBE"}
    assert [question.field for question in book("no_item").questions] == ["type", "station"]


def test_each_block_is_of_its_own_aircraft():
    whole = book("blocks")

    assert [one.aircraft for one in whole.taken] == ["Q-MAA"] * 5 + ["Q-MAB"] * 5 + ["Q-MAC"] * 5


def test_a_column_for_each_door_tells_the_unit_at_each_door():
    whole = book("at_doors")

    assert [(one.aircraft, one.place, one.item, one.serial) for one in whole.taken[:4]] == [
        ("Q-PAA", "1L", "SLIDE", "A00715"),
        ("Q-PAA", "1R", "SLIDE", "A01715"),
        ("Q-PAA", "2L", "SLIDE", "A02715"),
        ("Q-PAA", "2R", "SLIDE", "A03715"),
    ]
    assert len(whole.taken) == 14
    assert [(one.aircraft, one.place) for one in whole.unnamed] == [("Q-PAB", "2L")]
    assert [question.field for question in whole.questions] == ["type", "station"]


def test_columns_under_a_merged_door_are_of_the_unit_there():
    whole = book("under_doors")

    first, second = whole.taken[:2]
    assert (first.aircraft, first.place, first.part) == ("Q-PBA", "L1", "KA-20-1")
    assert first.serial == "00881"
    assert (second.place, second.part, second.serial) == ("R1", "KA-20-2", "10881")
    assert second.done["OVH"] == Stamp(dt.date(2024, 1, 4), "day")
    assert second.next["OVH"] == Stamp(dt.date(2027, 1, 4), "day")
    assert len(whole.taken) == 10


def test_a_doubt_of_one_door_names_its_own_cell_and_leaves_the_other_doors():
    line = next(d for d in book("at_doors").doubts if d.code == "no_serial").lines[0]
    assert line.key == "Doors!E4"
    left = book("at_doors", Said(left=[line.line_key]))
    mended = book("at_doors", Said(mended={line.key: "A12715"}))

    assert len(left.taken) == 14
    assert left.unnamed == []
    assert mended.taken[6].serial == "A12715"


def test_units_in_a_second_column_of_serial_numbers_are_not_lost_without_a_word():
    rows: Rows = [["Aircraft", "Slide S/N", "Second S/N"]]
    rows += [[f"Q-R{'ABCDE'[n]}Z", f"11{n}1", f"11{n}2"] for n in range(5)]

    faults = of({"Wide": rows}).faults

    assert len(faults) == 1
    assert "column C (Second S/N) holds serial numbers too" in faults[0]
