"""A clock that counts from a given date asks for its work once.

Ninety days from 6 Oct 2026: 25 days are left of October after the 6th, 30 of November make 55, 31 of
December 86; four more are 4 Jan 2027.
"""

from __future__ import annotations

from datetime import date

import pytest

from scheduling.engine.basis.result import State
from tests.scheduling.engine.builders import a_clock, a_limit, due_of

ONCE = a_clock(90, "days", counts_from="given_date", given_on=date(2026, 10, 6))
YEARLY = a_clock(12, seq=2)


def test_it_is_due_until_it_is_done():
    assert due_of(a_limit(ONCE), "2026-12-01").due_on == date(2027, 1, 4)


@pytest.mark.parametrize("done", ["2026-10-06", "2026-12-24", "2027-02-01"])
def test_done_on_or_after_the_date_it_is_over(done):
    assert due_of(a_limit(ONCE), "2027-03-01", done=done).state == State.QUIET


def test_what_was_done_before_the_date_does_not_count():
    assert due_of(a_limit(ONCE), "2026-12-01", done="2026-10-05").due_on == date(2027, 1, 4)


def test_then_the_repeated_clock_goes_on_alone():
    limit = a_limit(ONCE, YEARLY)

    before = due_of(limit, "2026-12-01", done="2026-05-10")
    after = due_of(limit, "2027-03-01", done="2026-12-24")

    assert before.due_on == date(2027, 1, 4)
    assert after.due_on == date(2027, 12, 24)


def test_hours_from_a_given_date_are_over_too():
    hours = a_clock(30_000, "FH", counts_from="given_date", given_on=date(2026, 10, 6))

    assert due_of(a_limit(hours), "2027-03-01", done="2026-12-24").state == State.QUIET
