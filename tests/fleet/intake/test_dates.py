"""Dates in cells: what is read, and what is refused with its readings."""

# ruff: noqa: DTZ001 - a workbook knows no zone
from __future__ import annotations

import datetime as dt

import pytest

from fleet.intake.dates import MonthCell, Stamp, stamp_of
from fleet.intake.problems import CellError, CellProblem


def day(year, month, number):
    return Stamp(dt.date(year, month, number), "day")


def month(year, number):
    return Stamp(dt.date(year, number, 1), "month")


@pytest.mark.parametrize(
    ("cell", "stamp"),
    [
        ("2026-11-25", day(2026, 11, 25)),
        ("2026/11/25", day(2026, 11, 25)),
        ("20261125", day(2026, 11, 25)),
        (20261125.0, day(2026, 11, 25)),
        ("25/11/2026", day(2026, 11, 25)),
        ("25.11.2026", day(2026, 11, 25)),
        ("11/25/2026", day(2026, 11, 25)),
        ("04/04/2026", day(2026, 4, 4)),
        ("25 Nov 2026", day(2026, 11, 25)),
        ("Wed 25 Nov 2026", day(2026, 11, 25)),
        (" 25-nov-2026\u00a0", day(2026, 11, 25)),
        ("25NOV26", day(2026, 11, 25)),
        ("November 25, 2026", day(2026, 11, 25)),
        ("25th November 2026", day(2026, 11, 25)),
        ("'2026-11-25", day(2026, 11, 25)),
        (dt.date(2026, 11, 25), day(2026, 11, 25)),
        (dt.datetime(2026, 11, 25), day(2026, 11, 25)),
        ("29/02/2024", day(2024, 2, 29)),
        ("02/2021", month(2021, 2)),
        ("2/2021", month(2021, 2)),
        ("2021-02", month(2021, 2)),
        ("FEB 21", month(2021, 2)),
        ("feb-2021", month(2021, 2)),
        ("Feb '21", month(2021, 2)),
        ("FEB21", month(2021, 2)),
        ("2021 FEB", month(2021, 2)),
        ("FEB 99", month(1999, 2)),
        (MonthCell(dt.date(2021, 2, 1)), month(2021, 2)),
        ("2021", Stamp(dt.date(2021, 1, 1), "year")),
        (2021.0, Stamp(dt.date(2021, 1, 1), "year")),
        ("2026-11-25T14:30", Stamp(dt.date(2026, 11, 25), "instant", dt.time(14, 30))),
        ("2026-11-25 14:30Z", Stamp(dt.date(2026, 11, 25), "instant", dt.time(14, 30), True)),
        (
            dt.datetime(2026, 11, 25, 14, 30),
            Stamp(dt.date(2026, 11, 25), "instant", dt.time(14, 30)),
        ),
        ("", None),
        ("  \u00a0", None),
        (None, None),
    ],
)
def test_is_read(cell, stamp):
    assert stamp_of(cell) == stamp


@pytest.mark.parametrize(
    ("cell", "readings"),
    [
        ("03/04/2026", ["3 Apr 2026", "4 Mar 2026"]),
        ("3-4-2026", ["3 Apr 2026", "4 Mar 2026"]),
        ("03/04/05", ["3 Apr 2005", "4 Mar 2005", "5 Apr 2003"]),
        ("25/11/26", ["25 Nov 2026", "26 Nov 2025"]),
        ("02/21", ["Feb 2021", "21 Feb of a year not given"]),
        ("12/11", ["Dec 2011", "12 Nov of a year", "11 Dec of a year"]),
        ("21 FEB", ["21 Feb of a year not given", "Feb 2021"]),
    ],
)
def test_two_readings_are_refused_with_both(cell, readings):
    answer = stamp_of(cell)

    assert isinstance(answer, CellProblem)
    assert answer.code == "ambiguous_date"
    assert all(reading in answer.message for reading in readings)


def test_a_file_declared_day_first_settles_slashed_dates():
    assert stamp_of("03/04/2026", "day-first") == day(2026, 4, 3)
    assert stamp_of("03/04/26", "day-first") == day(2026, 4, 3)
    assert stamp_of("11/25/2026", "day-first").code == "no_such_day"
    assert stamp_of("02/21", "day-first").code == "ambiguous_date"


def test_a_file_declared_iso_refuses_slashed_dates():
    assert stamp_of("25/11/2026", "iso").code == "not_iso"
    assert stamp_of("2026-11-25", "iso") == day(2026, 11, 25)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("31/02/2026", "no_such_day"),
        ("2026-02-30", "no_such_day"),
        ("13/2021", "no_such_month"),
        ("2021-13", "no_such_month"),
        ("0202-11-25", "date_out_of_range"),
        (dt.datetime(1900, 2, 14, 12), "date_out_of_range"),
        (45000.0, "number_for_a_date"),
        (1e300, "not_a_date"),
        (float("nan"), "not_a_date"),
        (float("inf"), "not_a_date"),
        (True, "not_a_date"),
        (dt.timedelta(hours=3), "not_a_date"),
        ("soon", "not_a_date"),
        ("0000", "date_out_of_range"),
        ("9" * 5000, "not_a_date"),
        ("2026-11-25 25:00", "not_a_time"),
        (CellError("#REF!"), "formula_error"),
    ],
)
def test_is_refused(cell, code):
    answer = stamp_of(cell)

    assert isinstance(answer, CellProblem)
    assert answer.code == code
    assert answer.message.endswith(".")
    assert answer.would_do.endswith(".")
