"""Tools: AC 43.13-1B ¶7-40a, 14 CFR 121.369(b) (published-facts sections 4.1 and 6, R17)."""

from __future__ import annotations

from datetime import date

import pytest

from equipment.judging.measuring.calibration import (
    CalibrationFact,
    ToolFacts,
    ValueFact,
    values_touched,
    why_not_use,
)

CALIBRATED = CalibrationFact("calibrated", date(2026, 1, 15), date(2027, 1, 15), "C-100")


def codes_on(day, *history, **more):
    problem = why_not_use(ToolFacts("W-7", history, **more), date.fromisoformat(day))
    return problem.code if problem else None


@pytest.mark.parametrize(
    ("day", "code"),
    [
        ("2026-01-14", "tool_not_calibrated"),
        ("2026-01-15", None),
        ("2027-01-15", None),  # the last day counts
        ("2027-01-16", "tool_out_of_date"),
    ],
)
def test_a_tool_is_good_from_its_calibration_through_its_last_day(day, code):
    assert codes_on(day, CALIBRATED) == code


@pytest.mark.parametrize(
    ("day", "code"), [("2027-01-15", None), ("2027-01-16", "tool_out_of_date")]
)
def test_at_least_once_a_year_whatever_the_paper_says(day, code):
    # ¶7-40a: "Calibrate the torque wrench at least once a year".
    two_years = CalibrationFact("calibrated", date(2026, 1, 15), date(2028, 1, 15))
    without = CalibrationFact("calibrated", date(2026, 1, 15))

    assert codes_on(day, two_years, at_least_yearly=True) == code
    assert codes_on(day, without, at_least_yearly=True) == code


def test_dropped_or_abused_it_is_not_used_until_calibrated_again():
    # ¶7-40a: "or immediately after it has been abused or dropped".
    dropped = CalibrationFact("dropped", date(2026, 3, 1))
    again = CalibrationFact("calibrated", date(2026, 3, 5), date(2027, 3, 5))

    assert codes_on("2026-02-28", CALIBRATED, dropped, again) is None
    assert codes_on("2026-03-01", CALIBRATED, dropped, again) == "tool_dropped"
    assert codes_on("2026-03-04", CALIBRATED, dropped, again) == "tool_dropped"
    assert codes_on("2026-03-05", CALIBRATED, dropped, again) is None


def test_calibrated_immediately_after_the_drop_it_is_good_the_same_day():
    dropped = CalibrationFact("dropped", date(2026, 3, 1))
    again = CalibrationFact("calibrated", date(2026, 3, 1), date(2027, 3, 1))

    assert codes_on("2026-03-01", CALIBRATED, dropped, again) is None
    assert codes_on("2026-03-01", CALIBRATED, again, dropped) == "tool_dropped"


def test_a_tool_found_out_lists_every_value_since_its_last_good_calibration():
    # Design section 6; 121.369(b): limits of acceptance include the calibration of tools.
    found = CalibrationFact("found_out", date(2026, 9, 1))
    tool = ToolFacts("W-7", (CALIBRATED, found))
    days = ("2026-01-14", "2026-01-15", "2026-05-02", "2026-09-01", "2026-09-02")
    values = [ValueFact(day, "W-7", date.fromisoformat(day)) for day in days]
    other = ValueFact("other", "W-8", date(2026, 5, 2))

    touched = values_touched(tool, date(2026, 9, 1), [*reversed(values), other])

    assert [value.id for value in touched] == ["2026-01-15", "2026-05-02", "2026-09-01"]


def test_without_an_earlier_calibration_every_value_is_touched():
    tool = ToolFacts("W-7", (CalibrationFact("found_out", date(2026, 9, 1)),))
    old = ValueFact(1, "W-7", date(2019, 1, 1))

    assert values_touched(tool, date(2026, 9, 1), [old]) == [old]
