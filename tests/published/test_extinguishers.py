"""Extinguishers: 49 CFR 180.209(j), 29 CFR 1910.157 (published-facts sections 1.1 and 3)."""

from __future__ import annotations

from datetime import date

import pytest

from scheduling.engine.basis.limits import Amount
from scheduling.engine.basis.result import State
from tests.scheduling.engine.builders import a_clock, a_limit, due_of


def hydrostatic(*amounts):
    return a_limit(
        a_clock(amounts, first_from="manufacture", rounds="month_end"),
        title="Hydrostatic test",
        document="49 CFR 180.209(j)",
    )


SMALL = hydrostatic(Amount(144))
# Over 5.44 kg (12 lb) of water: 12 years first, then 7 after a proof pressure test, else 12.
LARGE = hydrostatic(
    Amount(144, when="first"),
    Amount(84, when="repeat", method="proof pressure"),
    Amount(144, when="repeat", method="water jacket"),
    Amount(144, when="repeat", method="direct expansion"),
)


@pytest.mark.parametrize(
    ("case", "limit", "last", "method", "due"),
    [
        ("HY-11: 4B up to 12 lb, original test", SMALL, None, None, "2026-06-30"),
        ("4B up to 12 lb, then 12 years", SMALL, "2026-05", "proof pressure", "2038-05-31"),
        ("over 12 lb, original test", LARGE, None, None, "2026-06-30"),
        ("over 12 lb, proof pressure", LARGE, "2020-02", "proof pressure", "2027-02-28"),
        ("over 12 lb, water jacket", LARGE, "2020-02", "water jacket", "2032-02-29"),
        ("over 12 lb, direct expansion", LARGE, "2020-02", "direct expansion", "2032-02-29"),
    ],
)
def test_the_interval_goes_by_the_method_of_the_last_test(case, limit, last, method, due):
    answer = due_of(limit, "2024-01-01", manufactured="2014-06", done=last, method=method)

    assert answer.due_on == date.fromisoformat(due)


def test_an_unknown_method_has_no_basis_and_at_worst_the_shorter_interval():
    answer = due_of(LARGE, "2024-01-01", manufactured="2008-06", done="2020-02")

    assert answer.state == State.NO_BASIS
    assert answer.lacks == ["the method of the last work"]
    assert answer.worst_on == date(2027, 2, 28)


@pytest.mark.parametrize(
    ("case", "months", "last", "due"),
    [
        ("FX-01: Halon 1211, 12 years", 144, "2016-03", "2028-03-31"),
        ("FX-01: six-year maintenance", 72, "2016-03", "2022-03-31"),
        ("FX-03: carbon dioxide, 5 years", 60, "2021-03", "2026-03-31"),
        ("1910.157 table L-1: water, 5 years", 60, "2022-11", "2027-11-30"),
        ("1910.157 table L-1: Halon 1301, 12 years", 144, "2020-01", "2032-01-31"),
        ("six-year maintenance begins again with a recharge", 72, "2019-08", "2025-08-31"),
        ("1910.157(e)(3): annual maintenance", 12, "2025-02", "2026-02-28"),
    ],
)
def test_an_extinguisher_falls_due_by_years_from_its_stamp(case, months, last, due):
    limit = a_limit(a_clock(months, rounds="month_end"))

    assert due_of(limit, "2021-04-01", done=last).due_on == date.fromisoformat(due)
