"""Due dates of gas cylinders: 49 CFR part 180 subpart C (published-facts section 1)."""

from __future__ import annotations

from datetime import date

import pytest

from scheduling.engine.basis.result import State, Stop
from tests.scheduling.engine.builders import a_clock, a_limit, due_of


def requalification(months, **more):
    """180.209(a) by month and year (180.205(c)); the first counts from the original test."""
    given = {"first_from": "manufacture", "rounds": "month_end", "runs_out": "until_emptied"}
    return a_clock(months, **given | more)


THREE_HT = a_limit(
    requalification(36),
    # 180.205(i)(1)(v)(C): "older than twenty-four years or after 4380 pressurizations".
    a_clock(288, seq=2, counts_from="manufacture", rounds="month_end", runs_out="end_of_life"),
    a_clock(4380, "FILL", seq=3, counts_from="manufacture", runs_out="end_of_life"),
    title="3HT requalification and life",
    document="49 CFR 180.209, 180.205(i)",
)
COMPOSITE = a_limit(
    requalification(60),
    # DOT-CFFC CFFC-3 [T2]: 15 years from the month of manufacture.
    a_clock(180, seq=2, counts_from="manufacture", rounds="month_end", runs_out="end_of_life"),
)


@pytest.mark.parametrize(
    ("spec", "years", "last", "due"),
    [
        ("HY-01: 3AA", 5, "2021-09", "2026-09-30"),
        ("3HT", 3, "2023-02", "2026-02-28"),
        ("3HT, leap February", 3, "2021-02", "2024-02-29"),
        ("3A", 5, "2024-02", "2029-02-28"),
        ("4D", 5, "2022-12", "2027-12-31"),
        ("4E non-corrosive", 12, "2016-04", "2028-04-30"),
        ("8AL", 10, "2019-06", "2029-06-30"),
        ("8AL, later", 20, "2019-06", "2039-06-30"),
        ("UN1013 carbon dioxide, 180.207(c)", 5, "2022-01", "2027-01-31"),
        ("UN seamless, 180.207(c)", 10, "2022-01", "2032-01-31"),
    ],
)
def test_requalification_is_good_through_its_month(spec, years, last, due):
    answer = due_of(a_limit(requalification(years * 12)), "2024-03-01", done=last)

    assert answer.due_on == date.fromisoformat(due)


def test_a_day_within_the_month_is_as_good_as_the_month():
    limit = a_limit(requalification(60))

    dues = {due_of(limit, "2024-01-01", done=done).due_on for done in ("2021-09-01", "2021-09-30")}

    assert dues == {date(2026, 9, 30)}


def test_a_24_year_life_beats_a_later_hydrostatic_test():
    # HY-03.
    answer = due_of(
        THREE_HT,
        "2026-01-15",
        manufactured="2002-07",
        done="2025-06",
        statements=[("FILL", "2026-01-01", 900)],
    )

    assert answer.due_on == date(2026, 7, 31)
    assert answer.decided_by == 2
    assert answer.stop == Stop.END_OF_LIFE
    assert (answer.runner_up, answer.runner_up_on) == (1, date(2028, 6, 30))
    assert (answer.due_at_other, answer.left_other) == (4380, 3480)


@pytest.mark.parametrize(
    ("fills", "is_past", "may_refill"),
    [
        (4379, False, True),  # the 4380th filling is allowed
        (4380, False, False),  # "after 4380 pressurizations": the 4381st is not
        (4381, True, False),
    ],
)
def test_the_4380th_filling_is_allowed_and_the_next_is_not(fills, is_past, may_refill):
    # HY-04 and section 13 policy 2; 24 years of one filling every other day.
    assert 24 * 365 // 2 == 4380

    answer = due_of(
        THREE_HT,
        "2026-01-15",
        manufactured="2010-01",
        done="2025-06",
        statements=[("FILL", "2026-01-10", fills)],
    )

    assert (answer.is_past, answer.may_refill) == (is_past, may_refill)
    assert answer.may_fly is not is_past


def test_an_end_of_life_passed_never_comes_back_with_a_test():
    answer = due_of(
        THREE_HT,
        "2026-08-01",
        manufactured="2002-07",
        done="2026-07-20",
        statements=[("FILL", "2026-01-01", 900)],
    )

    assert answer.is_past
    assert (answer.may_fly, answer.may_refill, answer.may_install) == (False, False, False)


@pytest.mark.parametrize(
    ("last", "due", "decided_by"),
    [
        (None, "2017-04-30", 1),
        ("2017-04", "2022-04-30", 1),
        ("2022-04", "2027-04-30", 1),
        ("2025-06", "2027-04-30", 2),  # not 30 Jun 2030
    ],
)
def test_a_composite_is_tested_every_five_years_and_lives_fifteen(last, due, decided_by):
    # HY-13.
    answer = due_of(COMPOSITE, "2015-01-01", manufactured="2012-04", done=last)

    assert answer.due_on == date.fromisoformat(due)
    assert answer.decided_by == decided_by


def test_a_backstop_says_the_same_as_a_second_clock():
    # HY-13 as one clock: requalified in June 2025, never later than 15 years from manufacture.
    limit = a_limit(requalification(60, never_later_months=180))

    answer = due_of(limit, "2026-01-01", manufactured="2012-04", done="2025-06")

    assert answer.due_on == date(2027, 4, 30)


@pytest.mark.parametrize(
    ("today", "is_past", "may_fly", "may_refill", "may_install"),
    [
        ("2026-09-30", False, True, True, True),
        ("2026-10-01", True, True, False, False),
        ("2026-10-05", True, True, False, False),
    ],
)
def test_filled_before_due_it_may_stay_until_emptied(
    today, is_past, may_fly, may_refill, may_install
):
    # HY-15: 180.205(c) for staying; FAA Order 8000.40 6e [T2] for refilling and installing.
    answer = due_of(
        a_limit(requalification(60)),
        today,
        done="2021-09",
        on_aircraft=True,
        installed="2024-01-01",
    )

    assert answer.due_on == date(2026, 9, 30)
    assert (answer.is_past, answer.may_fly) == (is_past, may_fly)
    assert (answer.may_refill, answer.may_install) == (may_refill, may_install)


def test_the_operator_may_hold_that_a_month_ends_on_its_first_day():
    # Section 13 policy 1: the conservative reading of a month-only stamp.
    limit = a_limit(requalification(60, rounds="day", month_only_stamp="start"))

    assert due_of(limit, "2026-01-01", done="2021-09").due_on == date(2026, 9, 1)


def test_a_life_to_the_exact_day_is_another_policy():
    # Section 13 policy 1: 288 months to the day, or to the end of that month.
    to_the_day = a_limit(a_clock(288, counts_from="manufacture", runs_out="end_of_life"))
    to_the_month = a_limit(a_clock(288, counts_from="manufacture", rounds="month_end"))

    assert due_of(to_the_day, "2020-01-01", manufactured="2002-07-12").due_on == date(2026, 7, 12)
    assert due_of(to_the_month, "2020-01-01", manufactured="2002-07-12").due_on == date(2026, 7, 31)


def test_a_bottle_without_a_date_of_manufacture_has_no_basis():
    answer = due_of(THREE_HT, "2026-01-15", done="2025-06", statements=[("FILL", "2026-01-01", 9)])

    assert answer.state == State.NO_BASIS
    assert answer.lacks == ["the date of manufacture"]
    assert answer.worst_on == date(2028, 6, 30)
