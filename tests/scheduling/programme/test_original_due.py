"""The next interval counts from when the last work was due, kept in days, hours and cycles, or as the
works before it tell."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from fleet.house.pages import end_of
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.programme.acts.works import NewWork, record_works
from tests import builders as build
from tests.scheduling.rules import DAY, Runs, a_rule, done, due, every, follows, item, reckon

pytestmark = pytest.mark.django_db


@pytest.fixture
def aircraft():
    return follows(build.an_aircraft("D1L-SLIDE"))


def half_yearly(**more):
    """31 January and 31 July, within ten days."""
    first = {"first_from": "given_date", "given_on": build.day("2025-07-31")}
    return a_rule(
        "SEMI",
        every(6, **first, rounds="month_end"),
        subject="aircraft",
        variation_days=10,
        next_from_original_due=True,
        **more,
    )


def test_a_work_done_early_inside_its_variation_does_not_move_the_next(aircraft):
    limit = half_yearly()
    done("INSPECT", "2026-01-25", aircraft_id=aircraft.pk)

    reckon()

    assert due(limit) == "2026-07-31"


def test_one_after_the_other_it_stays_where_it_was(aircraft):
    limit = half_yearly()
    for day in ("2026-01-25", "2026-07-24", "2027-02-08"):
        done("INSPECT", day, aircraft_id=aircraft.pk)

    reckon()

    assert due(limit) == "2027-07-31"


def test_a_work_done_outside_its_variation_counts_from_its_own_day(aircraft):
    limit = half_yearly()
    for day in ("2026-01-25", "2026-07-14"):
        done("INSPECT", day, aircraft_id=aircraft.pk)

    reckon()

    assert due(limit) == "2027-01-31"  # 14 July + 6 months, to the end of the month
    assert item(limit).start_on == build.day("2026-07-14")


def test_what_the_record_says_stands(aircraft):
    limit = half_yearly()
    done("INSPECT", "2027-02-08", aircraft_id=aircraft.pk, original_due_on=build.day("2027-02-05"))

    reckon()

    assert item(limit).start_on == build.day("2027-02-05")


def by_hours(aircraft, **clock):
    """500 hours, within 50; the aircraft has flown 1,700."""
    measure = build.the_hours()
    for back, total in ((90, 1600), (0, 1700)):
        row = NewReading(
            aircraft.pk, measure.pk, end_of(DAY - timedelta(days=back)), total * 60, uuid4()
        )
        record_readings(by=build.a_person("controller"), rows=[row], now=build.NOW)
    counts = {"counts_from": "last_done", "first_from": "manufacture", **clock}
    more = {} if "anchor" in clock else {"next_from_original_due": True}
    return a_rule(
        "H500",
        Runs(measure.code, [(500 * 60, "any")], counts),
        subject="aircraft",
        variation_minutes=50 * 60,
        **more,
    )


@pytest.mark.parametrize("clock", [{}, {"anchor": "original_due"}])
def test_in_hours_a_work_done_late_inside_its_variation_does_not_move_the_next(aircraft, clock):
    limit = by_hours(aircraft, **clock)
    done("INSPECT", "2025-07-01", aircraft_id=aircraft.pk, total_minutes=520 * 60)
    done("INSPECT", "2026-07-01", aircraft_id=aircraft.pk, total_minutes=1040 * 60)
    done("INSPECT", "2027-05-01", aircraft_id=aircraft.pk, total_minutes=1490 * 60)

    reckon()

    assert item(limit).due_at_minutes == 2000 * 60


def test_in_hours_what_the_record_says_stands(aircraft):
    limit = by_hours(aircraft)
    done(
        "INSPECT",
        "2027-05-01",
        aircraft_id=aircraft.pk,
        total_minutes=1490 * 60,
        original_due_minutes=1480 * 60,
    )

    reckon()

    assert item(limit).due_at_minutes == 1980 * 60


def test_hours_and_cycles_of_the_original_due_are_kept(aircraft):
    row = NewWork(
        work_id=done("INSPECT", "2027-01-01", aircraft_id=aircraft.pk).work_id,
        done_on=DAY,
        act_id=uuid4(),
        aircraft_id=aircraft.pk,
        original_due_minutes=90_000,
        original_due_cycles=700,
        result="passed",
    )

    [kept] = record_works(by=build.a_person("controller"), rows=[row], now=build.NOW)

    kept.refresh_from_db()
    assert (kept.original_due_minutes, kept.original_due_cycles) == (90_000, 700)
