"""Totals of units, period by period, and the dates they come to."""

from __future__ import annotations

from datetime import date

import pytest

from scheduling.engine.basis.result import State
from tests.scheduling.engine.builders import a_clock, a_limit, due_of, hours

LIFE = a_limit(a_clock(hours("10000"), "FH", counts_from="manufacture"))
SINCE_WORK = a_limit(a_clock(hours("500"), "FH"))
DAILY = {"FH": [("2025-12-31 end", hours("20000")), ("2026-04-10 end", hours("20500"))]}


def test_a_total_is_the_latest_statement_and_what_was_flown_since():
    answer = due_of(
        LIFE,
        "2026-04-10",
        on_aircraft=True,
        installed="2025-12-01",
        fitted=[("2025-12-01", None)],
        statements=[("FH", "2025-01-01", 99), ("FH", "2025-12-31", hours("7000"))],
        readings=DAILY,
    )

    assert answer.total_minutes == hours("7500")
    assert answer.left_minutes == hours("2500")


def test_between_readings_a_total_is_interpolated_and_rounded_down():
    answer = due_of(
        LIFE,
        "2026-01-10",
        on_aircraft=True,
        installed="2025-12-01",
        fitted=[("2025-12-01", None)],
        statements=[("FH", "2025-12-31", 0)],
        readings={"FH": [("2025-12-31 end", 0), ("2026-01-30 end", 100)]},
    )

    assert answer.total_minutes == 33


def test_after_the_last_reading_a_total_stands_still():
    told = {
        "on_aircraft": True,
        "installed": "2025-12-01",
        "fitted": [("2025-12-01", None)],
        "statements": [("FH", "2025-12-31", 0)],
        "readings": DAILY,
    }

    assert due_of(LIFE, "2026-04-10", **told).total_minutes == hours("500")
    assert due_of(LIFE, "2026-09-10", **told).total_minutes == hours("500")


def test_only_time_on_an_aircraft_counts_and_totals_read_at_movements_win():
    answer = due_of(
        LIFE,
        "2026-04-10",
        statements=[("FH", "2025-12-01", 0)],
        fitted=[
            ("2026-01-10", "2026-01-20", {"FH": (hours("20031:30"), hours("20080"))}),
            ("2026-02-10", "2026-02-20", {"FH": (hours("20200"), hours("20210"))}),
        ],
        store=[("2026-01-20", "2026-02-10"), ("2026-02-20", None)],
        readings=DAILY,
    )

    assert answer.total_minutes == hours("58:30")


def test_a_reading_that_comes_late_moves_what_depends_on_it():
    told = {
        "on_aircraft": True,
        "installed": "2025-12-01",
        "fitted": [("2025-12-01", None)],
        "done": "2026-01-15",
        "done_totals": {"FH": hours("300")},
        "statements": [("FH", "2026-01-15", hours("300"))],
    }

    before = due_of(SINCE_WORK, "2026-04-10", readings=DAILY, **told)
    late = {"FH": [*DAILY["FH"], ("2026-01-15 end", hours("20400"))]}
    after = due_of(SINCE_WORK, "2026-04-10", readings=late, **told)

    assert before.due_at_minutes == after.due_at_minutes == hours("800")
    assert after.total_minutes == hours("400") < before.total_minutes


@pytest.mark.parametrize(
    ("compares", "flown", "is_past"),
    [
        ("after", "500:00", False),
        ("after", "500:01", True),
        ("at", "499:59", False),
        ("at", "500:00", True),
    ],
)
def test_after_and_at_differ_by_the_minute(compares, flown, is_past):
    limit = a_limit(a_clock(hours("500"), "FH", compares=compares))

    answer = due_of(
        limit,
        "2026-04-10",
        done="2025-12-31",
        on_aircraft=True,
        installed="2025-12-01",
        fitted=[("2025-12-01", None)],
        statements=[("FH", "2025-12-31", 0)],
        readings={"FH": [("2025-12-31 end", 0), ("2026-04-10 end", hours(flown))]},
    )

    assert answer.is_past is is_past


def fitted(**more):
    return {
        "on_aircraft": True,
        "installed": "2025-12-01",
        "fitted": [("2025-12-01", None)],
        "done": "2025-12-31",
        "statements": [("FH", "2025-12-31", 0)],
    } | more


def test_hours_become_a_date_by_the_trailing_readings():
    # 500 h in the 100 days from 31 Dec to 10 Apr; the last 90 days at 5 h a day, and 300 h are left.
    limit = a_limit(a_clock(hours("800"), "FH"))

    answer = due_of(limit, "2026-04-20", readings=DAILY, **fitted())

    assert answer.due_on == date(2026, 6, 9)
    assert answer.due_on_projected


def test_the_planners_figure_wins_over_the_readings():
    limit = a_limit(a_clock(hours("800"), "FH"))

    answer = due_of(limit, "2026-04-20", readings=DAILY, rates={"FH": 600_000}, **fitted())

    assert answer.due_on == date(2026, 5, 10)


@pytest.mark.parametrize(
    "stands",
    [
        {"parked": True},
        {"rates": {"FH": 0}},
        {"on_aircraft": False, "fitted": [("2025-12-01", "2026-04-15")]},
    ],
)
def test_what_does_not_fly_has_no_date_and_says_so(stands):
    answer = due_of(SINCE_WORK, "2026-04-20", **fitted(readings=DAILY) | stands)

    assert answer.due_on is None
    assert answer.no_rate
    assert answer.due_at_minutes == hours("500")
    assert answer.state == State.RECKONED


def test_a_date_from_an_old_reading_is_not_before_the_day_asked():
    limit = a_limit(a_clock(hours("510"), "FH"))

    answer = due_of(limit, "2026-09-01", readings=DAILY, **fitted())

    assert (answer.due_on, answer.is_past) == (date(2026, 9, 1), False)


def test_an_aircraft_counts_its_own_hours():
    limit = a_limit(a_clock(hours("600"), "FH"), subject="aircraft")

    answer = due_of(limit, "2026-04-10", done="2025-12-31", readings=DAILY)

    assert (answer.due_at_minutes, answer.left_minutes) == (hours("20600"), hours("100"))


def test_a_backstop_in_hours_since_new_ends_an_interval_early():
    limit = a_limit(a_clock(hours("800"), "FH", never_later_total=hours("600")))

    answer = due_of(limit, "2026-04-10", readings=DAILY, **fitted())

    assert answer.due_at_minutes == hours("600")
