"""The rules that the design says must be data and no code."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from scheduling.engine.basis.limits import Amount
from scheduling.engine.basis.result import State
from tests.scheduling.engine.builders import a_clock, a_limit, due_of, hours

OVERHAUL = a_limit(
    a_clock(
        36,
        anchor="shop_release",
        runs="store_up_to_cap",
        store_cap_months=12,
        before_first_fitting=True,
    )
)


@pytest.mark.parametrize(
    ("case", "store", "fitted", "due"),
    [
        ("fitted at once", [], [("2023-01-10", None)], "2026-01-10"),
        (
            "five months in store before it was fitted",
            [("2023-01-10", "2023-06-10")],
            [("2023-06-10", None)],
            "2026-06-10",
        ),
        (
            "fourteen months in store: twelve are not counted",
            [("2023-01-10", "2024-03-10")],
            [("2024-03-10", None)],
            "2027-01-10",
        ),
        (
            "back in store after it was fitted: that counts",
            [("2023-01-10", "2023-06-10"), ("2023-09-01", "2023-12-01")],
            [("2023-06-10", "2023-09-01"), ("2023-12-01", None)],
            "2026-06-10",
        ),
    ],
)
def test_overhaul_with_store_before_the_first_fitting(case, store, fitted, due):
    answer = due_of(
        OVERHAUL,
        "2024-06-01",
        done="2023-01-05",
        shop_released="2023-01-10",
        store=store,
        fitted=fitted,
        on_aircraft=True,
    )

    assert answer.due_on == date.fromisoformat(due)
    assert not answer.is_growing


def test_what_is_still_in_store_holds_as_of_the_day_asked():
    told = {"done": "2023-01-10", "store": [("2023-01-10", None)]}

    in_march = due_of(OVERHAUL, "2023-03-10", **told)
    a_day_later = due_of(OVERHAUL, "2023-03-11", **told)
    after_the_cap = due_of(OVERHAUL, "2024-05-01", **told)

    assert (in_march.due_on, in_march.is_growing) == (date(2026, 3, 10), True)
    assert a_day_later.due_on == date(2026, 3, 11)
    assert (after_the_cap.due_on, after_the_cap.is_growing) == (date(2027, 1, 10), False)


BATTERY = a_limit(
    a_clock((Amount(share=Fraction(1, 2)),), counts_from="manufacture", rounds="month_end"),
    a_clock(60, "USE", seq=2, counts_from="manufacture"),
)


@pytest.mark.parametrize(
    ("used", "is_past", "decided_by"), [("0:59", False, 1), ("1:00", False, 1), ("1:01", True, 2)]
)
def test_battery_at_half_its_life_or_after_more_than_an_hour(used, is_past, decided_by):
    answer = due_of(
        BATTERY,
        "2026-01-01",
        manufactured="2024-03",
        life=120,
        statements=[("USE", "2025-12-01", hours(used))],
    )

    assert (answer.is_past, answer.decided_by) == (is_past, decided_by)
    if not is_past:
        assert answer.due_on == date(2029, 3, 31)


DIRECTIVE = a_limit(
    a_clock(
        (Amount(90, when="first"),), "days", first_from="given_date", given_on=date(2026, 3, 1)
    ),
    a_clock(
        (Amount(hours("500:00"), when="first"),),
        "FH",
        seq=2,
        first_from="given_date",
        given_on=date(2026, 3, 1),
    ),
    a_clock((Amount(1000, when="repeat"),), "FC", seq=3),
)
FLYING = {
    "on_aircraft": True,
    "installed": "2025-01-01",
    "fitted": [("2025-01-01", None)],
    "statements": [("FH", "2024-12-31", 0), ("FC", "2024-12-31", 0)],
    "readings": {
        "FH": [
            ("2024-12-31 end", 0),
            ("2026-03-01 end", hours("4000")),
            ("2026-04-30 end", hours("4600")),
        ],
        "FC": [("2024-12-31 end", 0), ("2026-03-01 end", 2000), ("2026-04-30 end", 2300)],
    },
}


def test_directive_within_ninety_days_or_500_hours_of_a_date():
    answer = due_of(DIRECTIVE, "2026-04-30", **FLYING)

    assert answer.is_past
    assert answer.decided_by == 2
    assert answer.due_at_minutes == hours("4500")
    assert answer.left_minutes == -hours("100")
    assert (answer.runner_up, answer.runner_up_on) == (1, date(2026, 5, 30))
    assert answer.due_at_cycles is None


def test_directive_then_each_thousand_cycles():
    answer = due_of(DIRECTIVE, "2026-04-30", done="2026-03-01", **FLYING)

    assert (answer.is_past, answer.decided_by) == (False, 3)
    assert (answer.due_at_cycles, answer.total_cycles, answer.left_cycles) == (3000, 2300, 700)
    assert answer.due_on_projected


def test_a_one_time_work_that_was_done_is_quiet():
    once = a_limit(DIRECTIVE.clocks[0])

    assert due_of(once, "2026-04-30").due_on == date(2026, 5, 30)
    assert due_of(once, "2026-04-30", done="2026-04-02").state == State.QUIET


CARTRIDGE = a_limit(
    a_clock(120, counts_from="manufacture", runs_out="end_of_life"),
    a_clock(60, seq=2, counts_from="this_installation"),
)


@pytest.mark.parametrize(
    ("installed", "due", "decided_by"),
    [
        (None, "2030-05-04", 1),
        ("2021-02-01", "2026-02-01", 2),
        ("2027-02-01", "2030-05-04", 1),
    ],
)
def test_cartridge_ten_years_from_manufacture_but_five_from_fitting(installed, due, decided_by):
    answer = due_of(
        CARTRIDGE,
        "2025-01-01",
        manufactured="2020-05-04",
        installed=installed,
        on_aircraft=installed is not None,
    )

    assert answer.due_on == date.fromisoformat(due)
    assert answer.decided_by == decided_by


def by_age(basis):
    return a_limit(a_clock((Amount(12, age_from_months=180, age_basis=basis), Amount(36))))


@pytest.mark.parametrize(
    ("done", "by_age_at_work", "by_age_at_due"),
    [
        # Made 15 March 2010, so 15 years old on 15 March 2025.
        ("2020-03-15", "2023-03-15", "2023-03-15"),
        ("2022-03-14", "2025-03-14", "2025-03-14"),  # due the day before its birthday
        ("2022-03-15", "2025-03-15", "2025-03-15"),  # 36 months end on the birthday itself
        ("2023-06-01", "2026-06-01", "2025-03-15"),  # 36 are too many, 12 too few: the birthday
        ("2024-03-14", "2027-03-14", "2025-03-15"),
        ("2024-09-01", "2027-09-01", "2025-09-01"),
        ("2025-03-14", "2028-03-14", "2026-03-14"),
        ("2025-03-15", "2026-03-15", "2026-03-15"),
    ],
)
def test_36_months_until_15_years_old_then_12(done, by_age_at_work, by_age_at_due):
    told = {"manufactured": "2010-03-15", "done": done}

    assert due_of(by_age("at_work"), "2020-01-01", **told).due_on == date.fromisoformat(
        by_age_at_work
    )
    assert due_of(by_age("at_due"), "2020-01-01", **told).due_on == date.fromisoformat(
        by_age_at_due
    )


def test_a_sampled_population_counts_from_the_work_that_fills_its_quota():
    trials = a_limit(a_clock(12, rounds="month_end"), subject="population", quota=3)

    assert due_of(trials, "2026-01-01", done="2025-04-17").due_on == date(2026, 4, 30)
    assert due_of(trials, "2026-01-01").state == State.NO_BASIS


@pytest.mark.parametrize(("when", "due"), [("first", "2026-06-01"), ("last", "2027-01-01")])
def test_due_at_the_first_or_at_the_last_of_its_clocks(when, due):
    limit = a_limit(
        a_clock(12, counts_from="given_date", given_on=date(2026, 1, 1)),
        a_clock(24, seq=2, counts_from="given_date", given_on=date(2024, 6, 1)),
        when=when,
    )

    answer = due_of(limit, "2026-07-01")

    assert answer.due_on == date.fromisoformat(due)
    assert answer.is_past is (when == "first")
