from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date

import openpyxl

from fleet.words.said import MINUS
from scheduling.due import exports
from scheduling.due.lists.rows import DueRow

AS_OF = date(2026, 11, 25)
BOTTLE = DueRow(
    id=1,
    band="out-of-phase",
    work="Hydrostatic test",
    limit="EE-25-014 rev 3",
    registration="QK-ANB",
    part_number="SK-44",
    serial_number="-0071",
    due_on=date(2027, 1, 20),
    due_at_minutes=740_730,
    left_days=56,
)
NO_BASIS = DueRow(
    id=2,
    band="no-basis",
    work="Overhaul",
    limit="EE-25-015 rev 1",
    missing=("date of last overhaul",),
)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"))))


def test_csv_says_what_the_screen_says():
    lines = read("".join(exports.as_csv([BOTTLE, NO_BASIS])))

    assert lines[0]["Band"] == "before next check"
    assert lines[0]["Due on"] == "2027-01-20"
    assert lines[0]["Due at hours"] == "12345:30"
    assert lines[1]["Missing"] == "date of last overhaul"


def test_csv_keeps_a_text_that_looks_like_a_formula_a_text():
    lines = read("".join(exports.as_csv([BOTTLE])))

    assert lines[0]["Serial number"] == "'-0071"


def test_a_workbook_holds_the_same_columns_with_real_dates():
    book = openpyxl.load_workbook(io.BytesIO(exports.as_xlsx([BOTTLE, NO_BASIS], AS_OF, True)))

    head, first, *_ = book["Due list"].iter_rows(values_only=True)

    assert head == exports.COLUMNS
    assert first[head.index("Due on")].date() == date(2027, 1, 20)
    assert first[head.index("Serial number")] == "-0071"


def test_a_workbook_says_that_its_data_is_invented():
    book = openpyxl.load_workbook(io.BytesIO(exports.as_xlsx([], AS_OF, True)))

    about = [cell.value for cell in book["About"]["A"]]

    assert about == ["Due list as of 25 Nov 2026", exports.INVENTED]


def test_what_is_left_is_exported_in_each_measure():
    used = replace(
        BOTTLE,
        left_minutes=-90,
        left_cycles=12,
        other_measure="hours of use",
        other_is_hours=True,
        due_at_other=60,
        left_other=-61,
    )
    filled = replace(BOTTLE, other_measure="fillings", due_at_other=4380, left_other=1260)

    one, two = read("".join(exports.as_csv([used, filled])))

    assert (one["Hours remaining"], one["Cycles remaining"]) == (f"{MINUS}1:30", "12")
    assert (one["Own measure"], one["Own measure remaining"]) == ("hours of use", f"{MINUS}1:01")
    assert (two["Due at own measure"], two["Own measure remaining"]) == ("4380", "1260")
