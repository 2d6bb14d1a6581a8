"""Calendar months, batteries of locator beacons, and windows (published-facts section 2)."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from scheduling.engine.basis.limits import Amount, Variation
from tests.scheduling.engine.builders import a_clock, a_limit, due_of, hours


def calendar_months(number):
    return a_limit(a_clock(number, rounds="month_end"))


@pytest.mark.parametrize(
    ("case", "months", "done", "due"),
    [
        ("CM-01: 91.413(a)", 24, "2020-07-22", "2022-07-31"),
        ("CM-03: leap day", 12, "2024-02-29", "2025-02-28"),
        ("91.207(d), first of a month", 12, "2025-06-01", "2026-06-30"),
        ("91.411(a)(1)", 24, "2024-02-10", "2026-02-28"),
        ("121.417(c)(2)", 24, "2022-02-28", "2024-02-29"),
    ],
)
def test_a_calendar_month_ends_on_its_last_day(case, months, done, due):
    assert due_of(calendar_months(months), "2025-01-01", done=done).due_on == date.fromisoformat(
        due
    )


def test_the_other_convention_counts_from_the_release_to_the_day():
    # EASA FAQ 19102: the date of signing the release is the date of the accomplishment.
    limit = a_limit(a_clock(24))

    answer = due_of(limit, "2025-01-01", done="2020-07-20", released="2020-07-22")

    assert answer.due_on == date(2022, 7, 22)


@pytest.mark.parametrize(
    ("counts_from", "due"),
    [("last_done", "2027-03-04"), ("this_installation", "2027-05-20")],
)
def test_an_overhaul_counts_from_the_shop_or_from_the_installation(counts_from, due):
    # EASA FAQ 19102, exception 2.
    limit = a_limit(a_clock(36, counts_from=counts_from, anchor="shop_release"))

    answer = due_of(
        limit,
        "2025-01-01",
        done="2024-03-01",
        shop_released="2024-03-04",
        released="2024-05-20",
        installed="2024-05-20",
        on_aircraft=True,
    )

    assert answer.due_on == date.fromisoformat(due)


@pytest.mark.parametrize(
    ("used", "is_past"),
    [("0:59", False), ("1:00", False), ("1:01", True)],
)
def test_a_beacon_battery_goes_after_more_than_one_hour_of_use(used, is_past):
    # CM-05: 91.207(c)(1), "more than 1 cumulative hour".
    limit = a_limit(a_clock(60, "USE", counts_from="manufacture", compares="after"))

    answer = due_of(limit, "2026-01-01", statements=[("USE", "2025-12-01", hours(used))])

    assert answer.is_past is is_past


def test_at_one_hour_is_another_rule_than_after_one_hour():
    limit = a_limit(a_clock(60, "USE", counts_from="manufacture", compares="at"))

    assert due_of(limit, "2026-01-01", statements=[("USE", "2025-12-01", 60)]).is_past
    assert not due_of(limit, "2026-01-01", statements=[("USE", "2025-12-01", 59)]).is_past


@pytest.mark.parametrize(
    ("case", "share", "life", "due"),
    [
        ("91.207(c)(2): half of 10 years", Fraction(1, 2), 120, "2026-04-30"),
        ("half of 61 months is 30 whole months", Fraction(1, 2), 61, "2023-10-31"),
        ("AMC1 NCO.IDE.A.170: the whole life with a certificate", Fraction(1), 120, "2031-04-30"),
    ],
)
def test_a_battery_is_good_for_a_share_of_its_stated_life(case, share, life, due):
    limit = a_limit(a_clock((Amount(share=share),), counts_from="manufacture", rounds="month_end"))

    answer = due_of(limit, "2022-01-01", manufactured="2021-04", life=life)

    assert answer.due_on == date.fromisoformat(due)


@pytest.mark.parametrize(("today", "is_past"), [("2025-04-10", False), ("2025-04-11", True)])
def test_a_beacon_may_be_away_for_ninety_days(today, is_past):
    # CM-07: 91.207(f)(10)(ii), removed 10 Jan 2025.
    limit = a_limit(a_clock(90, "days", counts_from="given_date", given_on=date(2025, 1, 10)))

    answer = due_of(limit, today)

    assert answer.due_on == date(2025, 4, 10)
    assert answer.is_past is is_past


# Windows with worked numbers: TM 1-1500-328-23.
YEARLY = a_limit(a_clock(12), variation=Variation(days=30), next_from_original_due=True)


def hourly(amount, percent=10):
    return a_limit(
        a_clock(hours(amount), "FH"),
        variation=Variation(percent=Fraction(percent)),
        next_from_original_due=True,
    )


def done_at(limit, done, original):
    return due_of(
        limit,
        "2026-01-01",
        done="2025-12-01",
        done_totals={"FH": hours(done)},
        original_due_totals={"FH": hours(original)},
        statements=[("FH", "2025-12-01", hours(done))],
    )


def test_a_25_hour_task_has_a_window_of_two_and_a_half_hours_each_way():
    # TW-01: due 1472.7, window 1470.2 to 1475.2.
    limit = hourly("25")

    due = done_at(limit, "1447.7", "1447.7")

    assert (due.due_at_minutes, due.variation_until_at) == (hours("1472.7"), hours("1475.2"))
    for inside in ("1470.2", "1472.7", "1475.2"):
        assert done_at(limit, inside, "1472.7").due_at_minutes == hours("1497.7")
    for outside in ("1470.1", "1475.3"):
        assert done_at(limit, outside, "1472.7").due_at_minutes == hours(outside) + hours("25")


def test_outside_the_window_the_next_counts_from_the_actual():
    # TW-03: 50 h due 1306.4, done 1299.9: next 1349.9.
    assert done_at(hourly("50"), "1299.9", "1306.4").due_at_minutes == hours("1349.9")


@pytest.mark.parametrize(
    ("done", "next_due"),
    [
        ("1999-01-07", "2000-02-06"),  # TW-05: the window is 7 Jan to 8 Mar 1999
        ("1999-02-06", "2000-02-06"),
        ("1999-03-08", "2000-02-06"),
        ("1999-01-06", "2000-01-06"),
        ("1999-03-09", "2000-03-09"),
    ],
)
def test_inside_thirty_days_the_next_counts_from_the_original_due_date(done, next_due):
    answer = due_of(YEARLY, "1999-06-01", done=done, original_due="1999-02-06")

    assert answer.due_on == date.fromisoformat(next_due)


@pytest.mark.parametrize(
    ("today", "is_past", "within", "may_fly"),
    [
        ("1999-02-06", False, False, True),
        ("1999-02-07", True, True, True),
        ("1999-03-08", True, True, True),
        ("1999-03-09", True, False, False),
    ],
)
def test_past_due_but_inside_the_variation_it_may_still_fly(today, is_past, within, may_fly):
    answer = due_of(YEARLY, today, done="1998-02-06")

    assert answer.variation_until_on == date(1999, 3, 8)
    assert (answer.is_past, answer.within_variation, answer.may_fly) == (is_past, within, may_fly)
