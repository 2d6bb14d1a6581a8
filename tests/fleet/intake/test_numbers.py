"""Hours, counts and numbers in cells."""

# ruff: noqa: DTZ001 - a workbook knows no zone
from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from fleet.intake.numbers import count_of, minutes_of, number_of
from fleet.intake.problems import CellError, CellProblem
from fleet.words.said import THIN


@pytest.mark.parametrize(
    ("cell", "hours", "minutes"),
    [
        ("12345:30", 12345, 30),
        ("12345.5", 12345, 30),
        (12345.5, 12345, 30),
        ("12 345:30", 12345, 30),
        ("12\u00a0345:30", 12345, 30),
        ("12\u202f345,5", 12345, 30),
        ("12'345:30", 12345, 30),
        ("12,345:30", 12345, 30),
        ("12,345.5", 12345, 30),
        ("12.345,5", 12345, 30),
        ("12345,5", 12345, 30),
        ("1,234,567", 1234567, 0),
        ("12345h30", 12345, 30),
        ("12345 hrs", 12345, 0),
        ("12345:30:00", 12345, 30),
        ("'12345", 12345, 0),
        (dt.timedelta(days=514, hours=9, minutes=30), 12345, 30),
        (dt.time(10, 30), 10, 30),
        (12345.0, 12345, 0),
        ("0.1", 0, 6),
        ("0", 0, 0),
    ],
)
def test_hours_are_read_as_minutes(cell, hours, minutes):
    assert minutes_of(cell) == hours * 60 + minutes


@pytest.mark.parametrize(
    ("cell", "readings"),
    [("12,345", ("12345", "12.345")), ("12.345", ("12345", "12.345"))],
)
def test_a_lone_mark_is_refused_with_both_readings(cell, readings):
    for read in (minutes_of, number_of):
        answer = read(cell)

        assert answer.code == "ambiguous_number"
        assert all(reading in answer.message for reading in readings)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("12345:75", "not_minutes"),
        ("12345:3", "not_a_number"),
        ("-5", "negative"),
        (-5.0, "negative"),
        ("nan", "not_a_number"),
        ("inf", "not_a_number"),
        ("1e999", "not_a_number"),
        ("1.23E+04", "not_a_number"),
        (float("nan"), "not_a_number"),
        (float("inf"), "not_a_number"),
        (1e300, "too_large"),
        ("9" * 29, "too_large"),
        ("9" * 29 + ":30", "too_large"),
        ("9" * 400, "not_a_number"),
        (dt.date(2026, 1, 1), "date_for_a_number"),
        (dt.datetime(1901, 5, 28, 10, 30), "date_for_hours"),
        (True, "not_a_number"),
        (CellError("#DIV/0!"), "formula_error"),
        ("twelve", "not_a_number"),
        (dt.timedelta(hours=-3), "negative"),
    ],
)
def test_hours_are_refused(cell, code):
    assert minutes_of(cell).code == code


def test_a_duration_shown_as_a_date_gives_both_readings():
    answer = minutes_of(dt.datetime(1901, 5, 28, 10, 30))

    assert "10:30" in answer.message
    assert f"12{THIN}346:30" in answer.message or f"12{THIN}370:30" in answer.message


@pytest.mark.parametrize(
    ("cell", "count"), [(12.0, 12), ("12", 12), ("12,345", 12345), ("12 345", 12345), ("", None)]
)
def test_counts_are_read(cell, count):
    assert count_of(cell) == count


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        (12.5, "not_whole"),
        ("12.5", "not_whole"),
        ("-1", "negative"),
        ("12.345", "ambiguous_number"),
    ],
)
def test_counts_are_refused(cell, code):
    assert count_of(cell).code == code


def test_numbers_keep_their_decimals():
    assert number_of("12.50") == Decimal("12.50")
    assert number_of(0.1) == Decimal("0.1")
    assert number_of("-3.5", may_be_negative=True) == Decimal("-3.5")
    assert isinstance(number_of("-3.5"), CellProblem)
