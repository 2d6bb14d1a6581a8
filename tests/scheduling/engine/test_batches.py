"""One engine for one unit and for many: what must hold whatever the facts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduling.engine.basis import columns as c
from scheduling.engine.basis.limits import Amount, Clock
from scheduling.engine.basis.result import State
from scheduling.engine.clocks.due import reckon
from tests.scheduling.engine.builders import MEASURES, Told, a_clock, a_limit, due_of, facts_of

DAYS = st.dates(min_value=date(2000, 1, 1), max_value=date(2040, 12, 31))
TODAY = date(2026, 3, 10)


def batch(limits, limit_of, done):
    facts = facts_of(Told())
    number = len(limit_of)
    items = c.Items.of(
        number, measures=len(MEASURES), limit=limit_of, unit=[0] * number, done_on=done
    )
    return reckon(limits, replace(facts, items=items), TODAY)


def test_nothing_to_reckon_is_an_empty_answer():
    assert len(batch([a_limit(a_clock(12))], [], []).due_on) == 0


def test_items_of_several_limits_are_each_under_their_own():
    limits = [a_limit(a_clock(12)), a_limit(a_clock(24)), a_limit(a_clock(36), code="third")]

    due = batch(limits, [0, 0, 2], ["2026-01-01", "2026-02-01", "2026-01-01"])

    assert [str(day) for day in due.due_on] == ["2027-01-01", "2027-02-01", "2029-01-01"]


def test_items_out_of_order_are_refused():
    with pytest.raises(ValueError, match="not sorted by limit"):
        batch([a_limit(a_clock(12)), a_limit(a_clock(24))], [1, 0], ["2026-01-01", "2026-01-01"])


def test_a_measure_that_the_facts_do_not_have_is_refused():
    with pytest.raises(ValueError, match="No measure LANDINGS"):
        batch([a_limit(a_clock(12, "LANDINGS"))], [0], ["2026-01-01"])


def test_a_column_that_nobody_knows_or_of_another_length_is_refused():
    with pytest.raises(ValueError, match="no column colour"):
        c.Units.of(1, colour=["red"])
    with pytest.raises(ValueError, match="manufactured_on"):
        c.Units.of(2, manufactured_on=["2026-01-01"])


def test_a_limit_without_a_clock_has_no_basis():
    answer = due_of(a_limit(), "2026-01-01")

    assert answer.state == State.NO_BASIS
    assert answer.lacks == ["a clock of the limit"]


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (lambda: a_clock(()), "no amount"),
        (Amount, "number or a share"),
        (lambda: Amount(1, share=Fraction(1, 2)), "number or a share"),
        (lambda: Amount(share=Fraction(3, 2)), "at most 1"),
        (lambda: a_clock(1, counts_from="given_date"), "give the date"),
        (lambda: a_clock(1, first_from="last_done"), "cannot count from the last"),
        (lambda: a_clock((Amount(share=Fraction(1, 2)),), "days"), "is in months"),
        (lambda: a_clock(1, runs="store_at_ratio"), "give the ratio"),
        (lambda: a_clock(1, runs="store_up_to_cap"), "give the cap"),
        (lambda: a_limit(a_clock(1), a_clock(2)), "same number"),
    ],
)
def test_a_rule_that_cannot_be_is_refused_in_words(made, says):
    with pytest.raises(ValueError, match=says):
        made()


@given(DAYS, st.integers(min_value=1, max_value=400), st.sampled_from(["day", "month_end"]))
def test_a_later_work_is_never_due_earlier(done, months, rounds):
    limit = a_limit(a_clock(months, rounds=rounds))
    days = [str(done), str(done + timedelta(days=1)), str(done + timedelta(days=40))]

    due = batch([limit], [0, 0, 0], days).due_on

    assert due[0] <= due[1] <= due[2]


@given(DAYS, st.integers(min_value=1, max_value=400))
def test_the_end_of_the_month_is_never_before_the_day(done, months):
    to_the_day = due_of(a_limit(a_clock(months)), "2026-01-01", done=str(done)).due_on
    to_the_month = due_of(
        a_limit(a_clock(months, rounds="month_end")), "2026-01-01", done=str(done)
    ).due_on

    assert to_the_day <= to_the_month
    assert (to_the_day.year, to_the_day.month) == (to_the_month.year, to_the_month.month)


@given(DAYS, st.integers(min_value=1, max_value=60), st.integers(min_value=1, max_value=60))
def test_one_clock_more_never_makes_the_first_later(done, one, other):
    alone = due_of(a_limit(a_clock(one)), "2026-01-01", done=str(done)).due_on
    both = due_of(a_limit(a_clock(one), a_clock(other, seq=2)), "2026-01-01", done=str(done)).due_on

    assert both <= alone


@given(DAYS, DAYS)
def test_an_item_is_past_on_every_day_after_its_due_date_and_on_none_before(done, today):
    answer = due_of(a_limit(a_clock(12)), str(today), done=str(done))

    assert answer.is_past is (today > answer.due_on)
    assert answer.left_days == (answer.due_on - today).days


@given(st.integers(min_value=0, max_value=900), st.integers(min_value=1, max_value=24))
def test_time_in_store_never_gives_more_than_its_cap(days, cap):
    clock = a_clock(36, runs="store_up_to_cap", store_cap_months=cap)
    leaves = date(2024, 1, 1) + timedelta(days=days)
    store = [("2024-01-01", str(leaves))] if days else []

    answer = due_of(a_limit(clock), "2026-12-31", done="2024-01-01", store=store)

    assert date(2027, 1, 1) <= answer.due_on <= date(2027 + cap // 12, cap % 12 + 1, 1)


def test_a_clock_is_plain_data():
    clock = a_clock(12)

    assert isinstance(clock, Clock)
    assert hash(clock) == hash(a_clock(12))
