"""Bands against an aircraft's planned checks, and the roll-up to what comes off on the line."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from scheduling.engine.basis.bands import Band, Checks, Planned, band_of
from scheduling.engine.clocks.due import reckon
from tests.scheduling.engine.builders import Told, a_clock, a_limit, facts_of

TODAY = date(2026, 3, 10)
# A-check, then a longer one, then a third.
CHECKS = [("2026-04-01", "2026-04-02"), ("2026-06-01", "2026-06-09"), ("2026-09-01", "2026-09-03")]


def planned(*checks, abilities=None, sets=(), stops=()):
    number = len(checks)
    return Checks(
        Planned.of(
            number,
            aircraft=[0] * number,
            starts_on=[one[0] for one in checks],
            ends_on=[one[1] for one in checks],
            ability=abilities or [-1] * number,
            is_stop=[place in stops for place in range(number)],
        ),
        sets,
    )


def placed(due_on, checks, **told):
    limit = a_limit(
        a_clock(0, "days", counts_from="given_date", given_on=date.fromisoformat(due_on))
    )
    facts = facts_of(Told(**{"on_aircraft": True} | told))
    due = reckon([limit], facts, TODAY)
    band, check = band_of([limit], facts, due, checks, TODAY)
    return Band(band[0]), int(check[0])


@pytest.mark.parametrize(
    ("due_on", "band", "check"),
    [
        ("2026-03-09", Band.OVERDUE, -1),
        ("2026-03-10", Band.OUT_OF_PHASE, 0),
        ("2026-03-31", Band.OUT_OF_PHASE, 0),
        ("2026-04-01", Band.NEXT_CHECK, 0),  # the due date is its last good day
        ("2026-05-31", Band.NEXT_CHECK, 0),
        ("2026-06-01", Band.LATER_CHECK, 1),
        ("2026-08-31", Band.LATER_CHECK, 1),
        ("2026-09-01", Band.BEYOND_PLAN, -1),
        ("2030-01-01", Band.BEYOND_PLAN, -1),
    ],
)
def test_an_item_is_in_one_band(due_on, band, check):
    assert placed(due_on, planned(*CHECKS)) == (band, check)


@pytest.mark.parametrize(
    ("due_on", "band"),
    [
        ("2026-03-10", Band.OUT_OF_PHASE),
        ("2026-04-09", Band.OUT_OF_PHASE),  # the thirtieth day
        ("2026-04-10", Band.BEYOND_PLAN),
    ],
)
def test_without_a_planned_check_what_is_due_in_thirty_days_is_before_any(due_on, band):
    assert placed(due_on, planned()) == (band, -1)


def test_what_is_due_soon_after_the_last_planned_check_is_at_that_check():
    """Later checks are not planned yet, and so near none can be counted on."""
    only = planned(("2026-03-15", "2026-03-16"))

    assert placed("2026-04-09", only) == (Band.NEXT_CHECK, 0)
    assert placed("2026-04-10", only) == (Band.BEYOND_PLAN, -1)
    assert placed("2026-03-14", only) == (Band.OUT_OF_PHASE, 0)


def test_what_no_planned_check_can_do_is_due_before_any_that_can():
    weighs = planned(("2026-03-15", "2026-03-16"), abilities=[0], sets=(frozenset({"weighing"}),))

    assert placed("2026-04-01", weighs) == (Band.OUT_OF_PHASE, -1)


def test_no_item_of_a_band_by_days_is_less_urgent_than_its_days():
    """Without checks, the nearer day is never behind in the order of bands."""
    bands = [placed(f"{TODAY + timedelta(days=days):%Y-%m-%d}", planned())[0] for days in range(45)]

    assert bands == sorted(bands)


def test_a_check_that_has_begun_is_the_next_until_it_ends():
    running = planned(("2026-03-08", "2026-03-10"), *CHECKS)
    over = planned(("2026-03-08", "2026-03-09"), *CHECKS)

    assert placed("2026-03-20", running) == (Band.NEXT_CHECK, 0)
    assert placed("2026-03-20", over) == (Band.OUT_OF_PHASE, 1)


def test_a_check_that_cannot_do_the_work_is_passed_over():
    # The first stop can weigh and no more; the limit asks for an overhaul.
    checks = planned(*CHECKS, abilities=[0, -1, -1], sets=(frozenset({"weighing"}),))

    assert placed("2026-04-15", checks) == (Band.OUT_OF_PHASE, 1)
    # It lasts until the second, which is not the aircraft's next.
    assert placed("2026-06-15", checks) == (Band.LATER_CHECK, 1)


def test_a_parked_aircraft_and_a_unit_on_none_have_bands_of_their_own():
    assert placed("2026-04-15", planned(*CHECKS), parked=True)[0] == Band.BEFORE_RETURN
    assert placed("2026-04-15", planned(*CHECKS), on_aircraft=False)[0] == Band.IN_STORE
    assert placed("2026-03-01", planned(*CHECKS), parked=True)[0] == Band.OVERDUE
    assert placed("2026-03-01", planned(*CHECKS), on_aircraft=False)[0] == Band.OVERDUE


def test_another_aircrafts_checks_do_not_count():
    checks = Checks(Planned.of(1, aircraft=[1], starts_on=["2026-04-01"], ends_on=["2026-04-02"]))

    assert placed("2026-04-09", checks) == (Band.OUT_OF_PHASE, -1)
    assert placed("2026-04-15", checks) == (Band.BEYOND_PLAN, -1)


@pytest.mark.parametrize(
    ("due_on", "band", "check"),
    [
        ("2026-03-20", Band.NEXT_CHECK, 0),
        ("2026-04-20", Band.NEXT_CHECK, 1),  # two ground times, the second is the next check
        ("2026-05-10", Band.LATER_CHECK, 2),
        ("2026-06-20", Band.LATER_CHECK, 3),
    ],
)
def test_the_next_check_is_the_aircrafts_next_whatever_stops_lie_before_it(due_on, band, check):
    stop, later_stop = ("2026-03-15", "2026-03-15"), ("2026-05-01", "2026-05-01")
    checks = planned(stop, CHECKS[0], later_stop, *CHECKS[1:], stops=(0, 2))

    assert placed(due_on, checks) == (band, check)
