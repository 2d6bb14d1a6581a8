"""What is known today of days to come counts today: revisions, programmes, parking, planned rates."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest

from fleet.house.pages import end_of
from fleet.models import AircraftStatus, Check, PlannedRate
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.due.due_list import due_page, explanation
from scheduling.due.lists.filters import DueFilters
from scheduling.engine.basis.bands import Band
from scheduling.models import Programme, ProgrammeOfAircraft
from tests import builders as build
from tests.scheduling.rules import (
    DAY,
    Runs,
    a_rule,
    due,
    every,
    follows,
    is_item,
    item,
    on_another_day,
    reckon,
)

pytestmark = pytest.mark.django_db
FROM_NEW = {"first_from": "manufacture"}


@pytest.fixture
def slide():
    """Made on 15 December 2024, on an aircraft that follows the programme."""
    kind = build.a_kind("SLIDE")
    made = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2024-12-15"))
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("D1L-SLIDE", kind=kind)))
    build.installed(made, build.at_position(aircraft), "2025-02-10")
    made.aircraft = aircraft
    return made


def months(amount, revision, **more):
    return a_rule("OH-1", every(amount, **FROM_NEW), revision=revision, **more)


def row_of(limit):
    rows = due_page(filters=DueFilters(), as_of=DAY).rows
    return next(row for row in rows if row.limit == limit.code)


def status(aircraft, word, since):
    AircraftStatus.objects.create(
        aircraft=aircraft, status=word, from_on=build.day(since), recorded_at=build.NOW
    )


def a_check(aircraft, since, until, sort=Check.CHECK):
    return Check.objects.create(
        aircraft=aircraft,
        name=f"C{since}",
        sort=sort,
        starts_on=build.day(since),
        ends_on=build.day(until),
        station=aircraft.station,
    )


def hours(aircraft, amount):
    """10 hours a day by readings to the day asked, and a limit of so many hours from new."""
    measure = build.the_hours()
    for back in (90, 0):
        row = NewReading(
            aircraft_id=aircraft.pk,
            measure_id=measure.pk,
            read_at=end_of(DAY - timedelta(days=back)),
            total=(1000 - 10 * back) * 60,
            act_id=uuid4(),
        )
        record_readings(by=build.a_person("controller"), rows=[row], now=build.NOW)
    return a_rule(
        "FH-1",
        Runs(measure.code, [(amount * 60, "any")], {"counts_from": "manufacture"}),
        subject="aircraft",
    )


# --- revisions ----------------------------------------------------------------------------------


def test_a_shorter_revision_makes_due_on_the_eve_of_its_day_what_would_be_past_then(slide):
    today = months(36, "1", until_on=date(2027, 6, 30))
    later = months(30, "2", from_on=date(2027, 7, 1))

    reckon()

    # 30 months are reached on 15 June, when 36 still hold; on 1 July it would be past
    assert due(later, unit=slide) == "2027-06-30"
    assert not is_item(today)
    row = row_of(later)
    assert row.notes == ("by revision 2, in force from 1 Jul 2027",)
    told = " ".join(explanation(item_id=row.id, as_of=DAY).steps)
    assert "In force from 1 Jul 2027" in told
    assert "15 Jun 2027" in told
    assert "The last good day is 30 Jun 2027: on 1 Jun 2027, 29 days remaining." in told
    assert "overdue" not in told


def test_what_a_shorter_revision_does_not_reach_is_due_by_its_own_date(slide):
    months(36, "1", until_on=date(2027, 6, 30))
    later = months(33, "2", from_on=date(2027, 7, 1))

    reckon()

    assert due(later, unit=slide) == "2027-09-15"
    assert row_of(later).left_days == 106


def test_what_is_past_before_the_revision_is_due_by_the_rule_of_today(slide):
    today = months(30, "1", until_on=date(2027, 6, 30))
    months(36, "2", from_on=date(2027, 7, 1))

    reckon()

    assert due(today, unit=slide) == "2027-06-15"
    assert row_of(today).notes == ()


def test_a_longer_revision_counts_where_it_comes_first(slide):
    months(30, "1", until_on=date(2027, 6, 9))
    later = months(36, "2", from_on=date(2027, 6, 10))

    reckon()

    assert due(later, unit=slide) == "2027-12-15"


def test_a_limit_that_begins_later_is_on_the_list_today(slide):
    limit = a_rule(
        "AD-1",
        Runs("days", [(10, "any")], {"counts_from": "manufacture"}),
        from_on=date(2027, 8, 1),
    )

    reckon()

    assert due(limit, unit=slide) == "2027-07-31"
    assert item(limit).rule_from_on == date(2027, 8, 1)


def test_the_list_stored_and_the_list_reckoned_say_the_same_of_days_to_come(slide):
    months(36, "1", until_on=date(2027, 6, 30))
    later = months(30, "2", from_on=date(2027, 7, 1))
    reckon()

    [there] = on_another_day("2027-06-01")
    [on_the_day] = on_another_day("2027-07-01")

    assert (there.limit_id, there.due_on) == (later.pk, date(2027, 6, 30))
    assert (on_the_day.limit_id, on_the_day.due_on, on_the_day.band) == (
        later.pk,
        date(2027, 6, 15),
        Band.OVERDUE,
    )


def test_the_programme_that_an_aircraft_will_follow_counts_today(slide):
    other = Programme.objects.create(code="OTHER", name="Other", revision="1")
    today = months(36, "1")
    later = months(24, "1", programme=other)
    ProgrammeOfAircraft.objects.create(
        aircraft=slide.aircraft, programme=other, from_on=date(2027, 9, 1), recorded_at=build.NOW
    )

    reckon()

    assert due(later, unit=slide) == "2027-08-31"
    assert not is_item(today)
    assert row_of(later).notes == ("by programme OTHER, followed from 1 Sep 2027",)


# --- parking --------------------------------------------------------------------------------------


def test_a_parked_aircraft_with_a_return_day_is_planned_against_it(slide):
    before = months(36, "1")
    after = a_rule("OH-2", every(40, **FROM_NEW))
    status(slide.aircraft, "parked", "2027-05-01")
    status(slide.aircraft, "in_service", "2028-01-10")
    check = a_check(slide.aircraft, "2028-03-01", "2028-03-05")
    a_check(slide.aircraft, "2028-09-01", "2028-09-05")

    reckon()

    assert row_of(before).band == "before-return"
    assert row_of(after).band == "next-check"
    assert item(after).check_planned_id == check.pk


def test_parking_to_come_takes_its_overnight_stops_off_the_plan(slide):
    limit = a_rule("OH-2", every(40, **FROM_NEW))
    status(slide.aircraft, "parked", "2027-12-01")
    status(slide.aircraft, "in_service", "2028-01-10")
    a_check(slide.aircraft, "2027-12-26", "2027-12-26", sort=Check.OVERNIGHT)
    check = a_check(slide.aircraft, "2028-03-01", "2028-03-05")
    a_check(slide.aircraft, "2028-09-01", "2028-09-05")

    reckon()

    assert item(limit).check_planned_id == check.pk
    assert row_of(limit).band == "next-check"


def test_hours_stand_still_while_it_will_be_parked(slide):
    limit = hours(slide.aircraft, 1100)
    reckon()
    flying = due(limit)
    status(slide.aircraft, "parked", "2027-06-06")
    status(slide.aircraft, "in_service", "2027-07-06")

    reckon()

    # 100 hours left are ten days: five before it is parked, five after 30 days
    assert (flying, due(limit)) == ("2027-06-11", "2027-07-11")


def test_a_planned_rate_counts_from_its_day(slide):
    limit = hours(slide.aircraft, 1100)
    PlannedRate.objects.create(
        aircraft=slide.aircraft,
        measure=build.the_hours(),
        from_on=date(2027, 6, 6),
        per_day_milli=5 * 60 * 1000,
        recorded_at=build.NOW,
    )

    reckon()

    # 10 a day through 5 June leaves 60 hours (2 to 5 June), then 5 a day
    assert due(limit) == "2027-06-17"


# --- leaving ----------------------------------------------------------------------------------------


def test_what_falls_due_after_an_aircraft_has_left_says_so(slide):
    before = months(36, "1")
    after = a_rule("OH-2", every(40, **FROM_NEW))
    status(slide.aircraft, "leased_out", "2028-01-10")

    reckon()

    assert row_of(before).notes == ()
    assert row_of(after).notes == ("the aircraft leaves on 10 Jan 2028: leased out",)
