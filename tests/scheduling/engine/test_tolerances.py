"""Variation, extension, backstop: what may move a limit, and what nothing moves."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from scheduling.engine.basis.limits import Variation
from tests.scheduling.engine.builders import a_clock, a_limit, due_of, hours


@pytest.mark.parametrize(
    ("variation", "until"),
    [
        (Variation(), "2026-02-10"),
        (Variation(days=30), "2026-03-12"),
        (Variation(percent=Fraction(10)), "2026-03-18"),  # a tenth of 365 days, rounded down
        (Variation(percent=Fraction(10), days_most=20), "2026-03-02"),
        (Variation(days=30, percent=Fraction(10)), "2026-03-12"),  # the lesser of both
        (Variation(days=40, percent=Fraction(10)), "2026-03-18"),
    ],
)
def test_the_variation_is_days_or_a_share_of_the_interval(variation, until):
    answer = due_of(a_limit(a_clock(12), variation=variation), "2025-06-01", done="2025-02-10")

    assert answer.due_on == date(2026, 2, 10)
    assert answer.variation_until_on == date.fromisoformat(until)


def test_an_extension_moves_the_limit_once_and_no_further_than_the_limit_allows():
    given = {"done": "2025-02-10", "extension": {"days": 60}}

    extended = due_of(a_limit(a_clock(12), extendable=True), "2026-01-01", **given)
    capped = due_of(
        a_limit(a_clock(12), extendable=True, extension_days_most=45), "2026-01-01", **given
    )
    not_extendable = due_of(a_limit(a_clock(12)), "2026-01-01", **given)

    assert (extended.due_on, extended.is_extended) == (date(2026, 4, 11), True)
    assert capped.due_on == date(2026, 3, 27)
    assert (not_extendable.due_on, not_extendable.is_extended) == (date(2026, 2, 10), False)


def test_the_variation_is_not_added_on_top_of_an_extension():
    limit = a_limit(a_clock(12), extendable=True, variation=Variation(days=30))

    answer = due_of(limit, "2026-01-01", done="2025-02-10", extension={"days": 20})

    assert answer.due_on == date(2026, 3, 2)
    assert answer.variation_until_on == date(2026, 3, 12)


def test_nothing_moves_a_backstop_or_the_end_of_a_life():
    tolerant = {"extendable": True, "variation": Variation(days=30)}
    backstop = a_limit(a_clock(12, never_later_on=date(2026, 2, 15)), **tolerant)
    life = a_limit(a_clock(12, counts_from="manufacture", runs_out="end_of_life"), **tolerant)
    given = {"done": "2025-02-10", "manufactured": "2025-02-10", "extension": {"days": 60}}

    held, ended = due_of(backstop, "2026-01-01", **given), due_of(life, "2026-01-01", **given)

    assert held.due_on == held.variation_until_on == date(2026, 2, 15)
    assert ended.due_on == ended.variation_until_on == date(2026, 2, 10)


def test_hours_have_their_own_variation_and_extension():
    limit = a_limit(
        a_clock(hours("500"), "FH"),
        extendable=True,
        extension_minutes_most=hours("20"),
        variation=Variation(minutes=hours("50")),
    )

    answer = due_of(
        limit,
        "2026-01-01",
        done="2025-02-10",
        done_totals={"FH": 0},
        statements=[("FH", "2025-12-31", hours("530"))],
        extension={"minutes": hours("25")},
    )

    assert answer.due_at_minutes == hours("520")
    assert answer.variation_until_at == hours("550")
    assert (answer.is_past, answer.within_variation, answer.may_fly) == (True, True, True)


def test_each_time_in_store_has_its_own_cap_or_all_share_one():
    told = {
        "done": "2024-01-01",
        "store": [("2024-01-01", "2024-03-01"), ("2024-05-01", "2024-07-01")],
        "fitted": [("2024-03-01", "2024-05-01"), ("2024-07-01", None)],
        "on_aircraft": True,
    }

    def due(each):
        clock = a_clock(24, runs="store_up_to_cap", store_cap_months=1, store_cap_each=each)
        return due_of(a_limit(clock), "2025-01-01", **told).due_on

    assert due(each=True) == date(2026, 3, 3)  # 31 + 31 days
    assert due(each=False) == date(2026, 2, 1)  # 31 days


def test_a_clock_that_runs_while_installed_only_waits_in_store():
    told = {
        "done": "2024-01-01",
        "store": [("2024-01-01", "2024-03-01")],
        "fitted": [("2024-03-01", "2024-06-01")],
    }
    limit = a_limit(a_clock(12, runs="installed_only"))

    off_again = due_of(limit, "2024-06-11", **told)

    assert off_again.due_on == date(2025, 3, 11)  # 60 days before, 10 days after
    assert off_again.is_growing


def test_time_in_store_counts_at_a_ratio():
    limit = a_limit(a_clock(12, runs="store_at_ratio", store_ratio=Fraction(1, 2)))

    answer = due_of(limit, "2024-06-11", done="2024-01-01", store=[("2024-01-01", "2024-01-12")])

    assert answer.due_on == date(2025, 1, 6)  # 11 days count as 5 and a half: 5 are not counted
