"""A check that is moved is the same check, at every door; overnight stops are told apart by their days."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from fleet.aircraft.acts.checks import PlannedCheck, plan_check, plan_checks
from fleet.house.refusals import Refused
from fleet.models import Check
from tests import builders as build

pytestmark = pytest.mark.django_db
TODAY = build.day("2026-11-30")
NOW = datetime(2026, 11, 30, 9, tzinfo=UTC)


@pytest.fixture
def aircraft():
    return build.an_aircraft("D1L-SLIDE")


def row(aircraft, starts, name="A23", days=2, sort=Check.CHECK, **more):
    begins = build.day(starts)
    ends = begins + timedelta(days=days)
    return PlannedCheck(aircraft.pk, name, begins, ends, aircraft.station_id, sort, **more)


def planned(*rows):
    return plan_checks(by=build.a_person("controller"), rows=rows, today=TODAY, at=build.NOW)


def days(aircraft):
    found = Check.objects.filter(aircraft=aircraft, is_cancelled=False).order_by("starts_on", "pk")
    return [(check.name, check.starts_on.isoformat()) for check in found]


def test_a_check_planned_for_another_day_is_moved(aircraft):
    [there] = planned(row(aircraft, "2027-03-12"))

    [moved] = planned(row(aircraft, "2027-03-26"))

    assert moved.pk == there.pk
    assert days(aircraft) == [("A23", "2027-03-26")]


def test_the_api_moves_it_too(aircraft):
    [there] = planned(row(aircraft, "2027-03-12"))

    made = plan_check(by=build.a_person("controller"), check=row(aircraft, "2027-03-26"), at=NOW)

    assert (made.id, made.is_new) == (there.pk, False)
    assert days(aircraft) == [("A23", "2027-03-26")]


def test_a_check_may_move_into_its_own_days(aircraft):
    planned(row(aircraft, "2027-03-12", days=5))

    planned(row(aircraft, "2027-03-14", days=5))

    assert days(aircraft) == [("A23", "2027-03-14")]


def test_a_check_does_not_move_onto_another(aircraft):
    planned(row(aircraft, "2027-03-12"), row(aircraft, "2027-05-12", name="A24"))

    with pytest.raises(Refused):
        planned(row(aircraft, "2027-05-12"))


def test_what_is_over_is_not_moved(aircraft):
    planned(row(aircraft, "2026-11-02"))

    planned(row(aircraft, "2027-11-02"))

    assert days(aircraft) == [("A23", "2026-11-02"), ("A23", "2027-11-02")]


def test_several_of_one_name_in_one_plan_are_several(aircraft):
    planned(row(aircraft, "2027-03-12"))

    planned(row(aircraft, "2027-03-12"), row(aircraft, "2027-06-12"))

    assert days(aircraft) == [("A23", "2027-03-12"), ("A23", "2027-06-12")]


def test_overnight_stops_of_one_name_are_several(aircraft):
    for day in ("2026-12-10", "2026-12-26"):
        planned(row(aircraft, day, name="NIGHT", days=1, sort=Check.OVERNIGHT))

    assert days(aircraft) == [("NIGHT", "2026-12-10"), ("NIGHT", "2026-12-26")]
