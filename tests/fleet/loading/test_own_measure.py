"""What an operator counts on its aircraft is a row of data: a limit goes by it, by its own rate, and says so.

The program does not count it by itself: it takes the totals that somebody reads, as with hours and cycles.
"""

from __future__ import annotations

from datetime import date

import pytest

from equipment.models import Unit
from scheduling.due.due_list import due_rows
from scheduling.due.lists.explained import explained_units
from scheduling.due.lists.filters import DueFilters
from scheduling.reckoning.bulk import recompute_all

from .conftest import NOW
from .ground import GROUND

NAME = "landings at listed stations"
TODAY = date(2026, 11, 25)
MEASURES = [*GROUND["Measures"], ["LDG", NAME, "count", "the aircraft"]]
READ = ["Aircraft", "Read on", "Cycles", "Measure", "Total"]
READINGS = [
    READ,
    ["Q-ONE", "2026-07-27", 4700, "LDG", 940],
    ["Q-ONE", "2026-08-26", 5000, "LDG", 1000],
    ["Q-ONE", "2026-11-24", 5900, "LDG", 1180],
]
PROGRAMME = {
    "Works": [["Code", "Name"], ["SCRAP", "Life"], ["OVH", "Overhaul"]],
    "Programmes": [["Code", "Name", "Revision", "Govern spares"], ["MP", "Narrow", "1", "yes"]],
    "Programme of aircraft": [["Aircraft", "From", "Programme"], ["Q-ONE", "2020-01-01", "MP"]],
    "Limits": [
        ["Programme", "Limit", "Revision", "Title", "Work", "Document", "Document revision"],
        ["MP", "LIFE", "1", "Slide life", "SCRAP", "QMP", "1"],
        ["MP", "OVH", "1", "Slide overhaul", "OVH", "QMP", "1"],
    ],
    "Clocks": [
        ["Programme", "Limit", "Clock", "Measure", "Amount", "Counts from", "First from"],
        ["MP", "LIFE", 1, "months", 180, "manufacture", ""],
        ["MP", "LIFE", 2, "LDG", 400, "manufacture", ""],
        ["MP", "OVH", 1, "LDG", 500, "last done", "this installation"],
    ],
}
SLIDE = {
    "Units": [
        ["Maker", "Part number", "Serial number", "Manufactured on"],
        ["QMK", "QS-1", "S1", "2025-01-01"],
    ],
    "Movements": [
        [
            "Maker",
            "Part number",
            "Serial number",
            "Movement",
            "Happened on",
            "To",
            "Aircraft",
            "Position",
        ],
        [
            "QMK",
            "QS-1",
            "S1",
            "installed",
            "2026-08-26",
            "a position of an aircraft",
            "Q-ONE",
            "D1L",
        ],
    ],
    "Life statements": [
        [
            "Maker",
            "Part number",
            "Serial number",
            "Measure",
            "Stated on",
            "Total",
            "Source",
            "Quality",
        ],
        ["QMK", "QS-1", "S1", "LDG", "2026-08-26", 100, "log card", "on a certificate"],
    ],
}


@pytest.fixture
def brought(bring):
    """The whole operator in one workbook: nothing of it is said in code."""
    result = bring({**GROUND, "Measures": MEASURES, "Readings": READINGS, **PROGRAMME, **SLIDE})
    recompute_all(as_of=TODAY, now=NOW)
    return result


@pytest.fixture
def told(brought):
    """By limit, what its item says of itself."""
    unit = Unit.objects.get(serial_number="S1")
    items, explained = explained_units([unit.pk], TODAY)
    rows = {row.id: row for row in due_rows(filters=DueFilters(), as_of=TODAY)}
    return {rows[item.id].limit: (rows[item.id], explained[item.id]) for item in items}


def test_a_row_of_the_sheet_of_measures_is_enough_to_bring_a_limit_by_it(brought):
    findings = [found for sheet in brought.sheets for found in sheet.findings]

    assert not findings
    assert brought.is_clean


def test_it_falls_due_by_its_own_rate_and_not_by_that_of_flights(told):
    row, _ = told["LIFE"]

    assert (row.due_at_other, row.left_other, row.other_measure) == (400, 120, NAME)
    # 180 in 90 days, two a day: 120 more last 60 days from 24 November; by ten flights a day, 12
    assert (row.due_on, row.decided_by) == (date(2027, 1, 23), NAME)


def test_no_more_than_a_total_since_new_is_a_column_of_the_clock(bring):
    head, *lines = PROGRAMME["Clocks"]
    clocks = [[*head, "Never later (total)"], *([*line, ""] for line in lines)]
    clocks[2][-1] = 300
    sheets = {**GROUND, "Measures": MEASURES, "Readings": READINGS, **PROGRAMME, **SLIDE}
    result = bring({**sheets, "Clocks": clocks})
    recompute_all(as_of=TODAY, now=NOW)

    assert result.is_clean
    [row] = [r for r in due_rows(filters=DueFilters(), as_of=TODAY) if r.limit == "LIFE"]
    # 400 from manufacture, never later than 300: 20 more, ten days from 24 November
    assert (row.due_at_other, row.left_other, row.due_on) == (300, 20, date(2026, 12, 4))


def test_months_have_no_total(bring):
    head, *lines = PROGRAMME["Clocks"]
    clocks = [[*head, "Never later (total)"], *([*line, ""] for line in lines)]
    clocks[1][-1] = 100
    result = bring({**GROUND, "Measures": MEASURES, **PROGRAMME, "Clocks": clocks})

    codes = {found.code for sheet in result.sheets for found in sheet.findings}
    assert "no_total_of_calendar" in codes


def test_its_explanation_can_be_followed_with_a_pencil(told):
    steps = " ".join(told["LIFE"][1].steps)

    assert f"0 + 400 {NAME} = 400 {NAME}, due after it." in steps
    assert (
        f"its total is 280 {NAME} (100 stated on 26 Aug 2026, 180 more since): 120 remaining."
        in steps
    )
    assert "At 2.0000 a day (180 in the last 90 days) from 24 Nov 2026" in steps


def test_where_no_work_is_on_record_it_counts_from_the_fitting(told):
    row, explained = told["OVH"]

    # 100 at the end of that day, of which 2 were made on it: 98 at the fitting, + 500
    assert (row.due_at_other, row.left_other) == (598, 318)
    assert row.due_on == date(2027, 5, 2)  # 159 days from 24 November
    assert "Counts from this installation, 26 Aug 2026, as it was never done." in explained.steps


def test_the_total_at_a_work_is_reckoned_between_the_readings_as_no_column_says_it(brought, bring):
    works = [
        ["Maker", "Part number", "Serial number", "Work", "Done on"],
        ["QMK", "QS-1", "S1", "OVH", "2026-10-10"],
    ]

    bring({"Works done": works})
    recompute_all(as_of=TODAY, now=NOW)

    [row] = [r for r in due_rows(filters=DueFilters(), as_of=TODAY) if r.limit == "OVH"]
    # half of the 90 days: 100 + 90 at the work, + 500
    assert (row.due_at_other, row.left_other) == (690, 410)


def test_without_a_reading_of_it_nothing_is_guessed_from_flights(bring):
    flights = [READ, ["Q-ONE", "2026-08-26", 5000, "", ""], ["Q-ONE", "2026-11-24", 5900, "", ""]]
    bring({**GROUND, "Measures": MEASURES, "Readings": flights, **PROGRAMME, **SLIDE})

    recompute_all(as_of=TODAY, now=NOW)

    [row] = [r for r in due_rows(filters=DueFilters(), as_of=TODAY) if r.limit == "LIFE"]
    assert (row.band, row.due_on) == ("no-basis", None)
    assert row.missing == ("a reading of the aircraft's total",)
