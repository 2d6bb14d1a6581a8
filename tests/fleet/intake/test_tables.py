"""Sheets as operators have them: title rows, headings in any order, blanks, names not quite right."""

from __future__ import annotations

import time

import pytest

from fleet.intake.files import RawSheet
from fleet.intake.problems import UnreadableFile
from fleet.intake.tables import table_of
from fleet.intake.workbooks.xlsx import letter_of

HEADINGS = ["Registration", "MSN", "Aircraft type", "Station", "Manufactured on"]
LINE = ["Q-ONE", "1", "T", "QST", "2015-06-30"]


def refusal(raw: RawSheet, **options) -> UnreadableFile:
    with pytest.raises(UnreadableFile) as refused:
        table_of(raw, "fleet.xlsx", **options)
    return refused.value


def test_title_rows_and_blank_rows_above_the_headings_are_passed_over():
    rows = [
        ["Fleet list", "", "", "", ""],
        [""] * 5,
        ["", "Aircraft", "", "Base", ""],
        HEADINGS,
        LINE,
    ]

    table = table_of(RawSheet("Aircraft", rows), "fleet.xlsx")

    assert table.heading_row == 4
    assert table.rows == [5]
    assert table.columns["registration"] == ["Q-ONE"]


def test_headings_stand_in_any_order_case_and_spacing():
    rows = [
        [" STATION ", "msn", "aircraft_type", "Reg", "Date of  manufacture"],
        ["QST", "1", "T", "q-one", ""],
    ]

    table = table_of(RawSheet("  aircraft ", rows), "fleet.xlsx")

    assert table.columns["registration"] == ["Q-ONE"]
    assert table.letters["registration"] == "D"


def test_blank_rows_between_and_after_keep_the_true_row_numbers():
    rows = [
        HEADINGS,
        LINE,
        [""] * 5,
        ["  "] * 5,
        ["Q-TWO", "2", "T", "QST", ""],
        *[[""] * 5] * 30_000,
    ]
    began = time.process_time()

    table = table_of(RawSheet("Aircraft", rows), "fleet.xlsx")

    assert table.rows == [2, 5]
    assert time.process_time() - began < 1


def test_a_problem_names_its_cell():
    rows = [HEADINGS, LINE, ["Q-TWO", "2", "T", "", "03/04/2026"]]

    table = table_of(RawSheet("Aircraft", rows), "fleet.xlsx")

    found = {
        (table.letters[field] + str(table.rows[line]), p.code) for line, field, p in table.problems
    }
    assert found == {("D3", "missing"), ("E3", "ambiguous_date")}


def test_a_sheet_name_that_is_nearly_right_is_refused_with_the_right_one():
    refused = refusal(RawSheet("Aircrafts list", [HEADINGS, LINE]))

    assert refused.code == "unknown_sheet"
    assert "Did you mean 'Aircraft" in refused.message


def test_a_lone_sheet_goes_by_the_files_name():
    table = table_of(RawSheet("Sheet1", [HEADINGS, LINE]), "Aircraft.xlsx", only_sheet=True)

    assert table.kind.name == "Aircraft"


def test_sheets_of_explanations_and_empty_sheets_are_passed_over():
    assert table_of(RawSheet("Read me", [["anything"]]), "f.xlsx") is None
    assert table_of(RawSheet("Sheet2", [[""], [" "]]), "f.xlsx") is None


def test_a_missing_column_refuses_the_sheet_by_its_heading():
    refused = refusal(
        RawSheet("Aircraft", [["Registration", "MSN", "Station"], ["Q-ONE", "1", "QST"]])
    )

    assert refused.code == "column_missing"
    assert "'Aircraft type'" in refused.message


def test_two_columns_of_one_heading_refuse_the_sheet():
    refused = refusal(RawSheet("Aircraft", [[*HEADINGS, "MSN"], [*LINE, "1"]]))

    assert refused.code == "heading_twice"
    assert "B and F" in refused.message


def test_an_unknown_column_is_a_warning():
    table = table_of(RawSheet("Aircraft", [[*HEADINGS, "Colour"], [*LINE, "red"]]), "f.xlsx")

    assert [(cell, code) for cell, code, _ in table.warnings] == [("F1", "unknown_column")]


def test_no_headings_at_all_is_a_sentence():
    assert refusal(RawSheet("Aircraft", [["a", "b"], ["c", "d"]])).code == "no_headings"


def test_short_rows_of_a_csv_are_filled_up():
    table = table_of(RawSheet("Aircraft", [HEADINGS, LINE[:4]]), "aircraft.csv")

    assert table.columns["manufactured_on"] == [None]


def test_letters_of_columns():
    assert [letter_of(i) for i in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
