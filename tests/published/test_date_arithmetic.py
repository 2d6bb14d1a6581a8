"""Adding months, as java.time, python-dateutil and PostgreSQL do it (published-facts section 10)."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from scheduling.engine.basis.months import add_days, add_months, age_months, month_end, stamped

DAYS = st.dates(min_value=date(1930, 1, 1), max_value=date(2120, 12, 31))
MONTHS = st.integers(min_value=-600, max_value=600)


def days(*texts: str) -> np.ndarray:
    return np.array(texts, dtype="datetime64[D]")


@pytest.mark.parametrize(
    ("case", "start", "months", "clamped", "end_of_month"),
    [
        ("DT-01", "2023-01-31", 1, "2023-02-28", "2023-02-28"),
        ("DT-03", "2023-08-31", 6, "2024-02-29", "2024-02-29"),
        ("DT-05", "2024-02-29", 48, "2028-02-29", "2028-02-29"),
        ("DT-07", "2024-03-31", -1, "2024-02-29", "2024-02-29"),
        ("DT-09", "2000-06-15", 288, "2024-06-15", "2024-06-30"),
        ("DT-13, no sticky end", "2023-02-28", 1, "2023-03-28", "2023-03-31"),
        ("LocalDate.plusMonths, java.time", "2007-03-31", 1, "2007-04-30", "2007-04-30"),
        ("tutor list, dateutil's author", "2005-01-31", 1, "2005-02-28", "2005-02-28"),
        ("XML Schema part 2 appendix E", "2000-03-31", 1, "2000-04-30", "2000-04-30"),
        ("leap day and a year", "2024-02-29", 12, "2025-02-28", "2025-02-28"),
        ("century without a leap day", "2096-02-29", 48, "2100-02-28", "2100-02-28"),
        ("century with one", "1996-02-29", 48, "2000-02-29", "2000-02-29"),
        ("before 1970", "1965-12-31", 2, "1966-02-28", "1966-02-28"),
    ],
)
def test_months_are_added_to_the_start(case, start, months, clamped, end_of_month):
    reached = add_months(days(start), months)

    assert str(reached[0]) == clamped
    assert str(month_end(reached)[0]) == end_of_month


def test_thirty_days_are_not_a_month():
    # DT-11: 36 x 30 days from 17 May 2021 is 16 days early.
    assert str(add_days(days("2021-05-17"), 36 * 30)[0]) == "2024-05-01"
    assert str(add_months(days("2021-05-17"), 36)[0]) == "2024-05-17"


def test_the_order_of_adding_matters_so_the_amount_is_added_once():
    # XML Schema part 2 appendix E: (30 Mar + 1 day) + 1 month, and the other way round.
    day = days("2000-03-30")

    assert str(add_months(add_days(day, 1), 1)[0]) == "2000-04-30"
    assert str(add_days(add_months(day, 1), 1)[0]) == "2000-05-01"


def test_chained_months_would_drift():
    chained = add_months(add_months(days("2023-12-31"), 2), 1)

    assert str(chained[0]) == "2024-03-29"
    assert str(add_months(days("2023-12-31"), 3)[0]) == "2024-03-31"


def test_every_day_of_sixty_years_agrees_with_dateutil():
    every = np.arange("1990-01-01", "2050-01-01", dtype="datetime64[D]")

    for months in (-13, -1, 0, 1, 6, 11, 12, 36, 60, 180, 288):
        mine = add_months(every, months).astype(object)
        assert list(mine) == [day + relativedelta(months=months) for day in every.astype(object)]


@given(DAYS, MONTHS)
def test_any_day_and_number_agrees_with_dateutil(day, months):
    assert add_months(days(str(day)), months)[0].item() == day + relativedelta(months=months)


@given(DAYS, DAYS, st.integers(min_value=0, max_value=600))
def test_a_later_start_is_never_due_earlier(one, other, months):
    early, late = sorted((one, other))

    reached = add_months(days(str(early), str(late)), months)

    assert reached[0] <= reached[1]


@given(DAYS, st.integers(min_value=0, max_value=600))
def test_one_month_more_is_never_earlier(day, months):
    reached = add_months(days(str(day), str(day)), np.array([months, months + 1]))

    assert reached[0] < reached[1]


@given(DAYS, DAYS)
def test_age_is_the_most_months_that_do_not_pass_the_day(one, other):
    born, on = sorted((one, other))

    age = int(age_months(days(str(born)), days(str(on)))[0])

    assert born + relativedelta(months=age) <= on < born + relativedelta(months=age + 1)


@pytest.mark.parametrize(
    ("born", "on", "age"),
    [
        # PostgreSQL: age('2004-06-01', '2004-04-30') is 1 month 1 day;
        # age('2001-04-10', '1957-06-13') is 43 years 9 months 27 days.
        ("2004-04-30", "2004-06-01", 1),
        ("1957-06-13", "2001-04-10", 43 * 12 + 9),
        ("2011-03-15", "2026-03-14", 179),
        ("2011-03-15", "2026-03-15", 180),
        ("2024-02-29", "2025-02-28", 12),
    ],
)
def test_ages_are_whole_calendar_months(born, on, age):
    assert age_months(days(born), days(on))[0] == age


@given(DAYS)
def test_the_day_after_a_month_end_is_a_first(day):
    end = month_end(days(str(day)))[0].item()

    assert end >= day
    assert (end + timedelta(days=1)).day == 1


@pytest.mark.parametrize(
    ("precision", "stamp", "stands_for"),
    [
        (0, "end", "2024-02-01"),
        (1, "end", "2024-02-29"),  # 49 CFR 180.205(c): during or before the month
        (1, "start", "2024-02-01"),  # the operator's stricter reading
        (2, "end", "2024-01-01"),  # a year alone: nothing published lets it run longer
        (2, "start", "2024-01-01"),
    ],
)
def test_a_stamp_stands_for_a_day(precision, stamp, stands_for):
    stood = stamped(days("2024-02-01"), np.array([precision], dtype="int8"), stamp)

    assert str(stood[0]) == stands_for


def test_unknown_stays_unknown():
    unknown = days("NaT")

    assert np.isnat(add_months(unknown, 12)[0])
    assert np.isnat(month_end(unknown)[0])
    assert age_months(unknown, days("2026-01-01"))[0] < -(1 << 60)
