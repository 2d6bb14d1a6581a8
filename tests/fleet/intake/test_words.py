"""Codes, serial numbers, choices and lists in cells, and whole columns of them."""

from __future__ import annotations

import datetime as dt
import time

import pytest

from fleet.intake import columns
from fleet.intake.columns import read_column
from fleet.intake.problems import CellError, CellProblem
from fleet.intake.words import choice_of, code_of, confusable, list_of, text_of, yes_or_no

STATUSES = {"in_service": "in service", "parked": "parked"}


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("  ab-123 ", "AB-123"),
        ("ab  123", "AB 123"),
        ("AB\u2013123", "AB-123"),
        ("\u00a0ab123\u00a0", "AB123"),
        (12345.0, "12345"),
        (12345, "12345"),
        ("'00123", "00123"),
        ("   ", None),
    ],
)
def test_codes_are_trimmed_and_upper_case(cell, code):
    assert code_of(cell) == code


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        (1.2345e17, "digits_lost"),
        (float("nan"), "digits_lost"),
        (dt.date(2026, 3, 12), "date_for_a_code"),
        ("x" * 41, "too_long"),
        ("AB\x00C", "unprintable"),
        ("AB\ud800", "unprintable"),
        (CellError("#N/A"), "formula_error"),
    ],
)
def test_codes_are_refused(cell, code):
    assert code_of(cell).code == code


def test_text_makes_runs_of_spaces_and_new_lines_one_space():
    assert text_of(" two \n lines ") == "two lines"
    assert text_of("x" * 201).code == "too_long"


def test_yes_and_no_are_read_in_their_usual_forms():
    assert [yes_or_no(c) for c in ("Yes", "y", True, 1.0, "x")] == [True] * 5
    assert [yes_or_no(c) for c in ("no", "N", False, 0, "FALSE")] == [False] * 5
    assert yes_or_no("maybe").code == "not_yes_or_no"


def test_a_choice_is_read_by_word_or_code_and_a_near_miss_is_offered():
    assert choice_of("In Service", STATUSES) == "in_service"
    assert choice_of("in_service", STATUSES) == "in_service"
    assert "Did you mean 'in service'" in choice_of("in servce", STATUSES).would_do
    assert "in service, parked" in choice_of("zzz", STATUSES).would_do


def test_a_list_is_read_by_commas_semicolons_and_lines():
    assert list_of("a, b;c\nA") == ("A", "B", "C")
    assert list_of(" , ") is None


def test_serials_that_look_alike_are_seen_as_one():
    assert confusable("AO1-1") == confusable("A0I 1")


def test_a_column_keeps_the_place_of_each_problem_and_reads_the_rest():
    column = read_column(["03/04/2026", "2026-04-03", "", True, 1], columns.DAY)

    assert column.values == [None, dt.date(2026, 4, 3), None, None, None]
    assert {i: p.code for i, p in column.problems.items()} == {
        0: "ambiguous_date",
        3: "not_a_date",
        4: "not_a_date",
    }


def test_true_and_one_are_two_cells():
    column = read_column([1.0, True, False, 0.0], columns.CODE)

    assert column.values == ["1", "TRUE", "FALSE", "0"]


def test_a_month_alone_is_refused_where_a_day_is_needed():
    column = read_column(["02/2021"], columns.DAY)

    assert isinstance(column.problems[0], CellProblem)
    assert column.problems[0].code == "day_missing"


@pytest.mark.parametrize(
    ("kind", "cells"),
    [
        (columns.SERIAL, [f"s{i:07d}" for i in range(100_000)]),
        (columns.STAMP, [dt.date(2010, 1, 1) + dt.timedelta(i % 5000) for i in range(100_000)]),
        (columns.HOURS, [float(i) for i in range(100_000)]),
    ],
)
def test_a_column_of_100_000_cells_is_quick(kind, cells):
    began = time.process_time()
    column = read_column(cells, kind)

    assert not column.problems
    assert time.process_time() - began < 2  # 0.3 s on a quiet machine; generous for a shared one


@pytest.mark.parametrize(
    "cells",
    [
        ["A1", "A2"],
        ["A1", "A\nB", "C"],
        ["A1\n", "B2"],
        ["\nA1", "B2"],
        ["A1", "a2"],
        ["A1", ""],
        ["A1", "A" * 41],
        ["A1", "É1"],
    ],
)
def test_a_column_of_codes_is_read_as_each_of_its_cells(cells):
    """Plain codes are looked at all at once; that may change no answer."""
    column = read_column(cells, columns.SERIAL, most=40)

    for i, cell in enumerate(cells):
        alone = code_of(cell)
        assert column.values[i] == (alone if isinstance(alone, str) else None)
        assert (i in column.problems) == (alone is not None and not isinstance(alone, str))
