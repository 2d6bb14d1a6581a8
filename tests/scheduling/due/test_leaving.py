"""An aircraft that leaves the fleet on a known day: nothing falls due on it after that, by every door."""

from __future__ import annotations

from datetime import date

import pytest

from fleet.aircraft.planned import planned_checks
from fleet.models import AircraftStatus, Check
from scheduling.answers.grounding import what_grounds
from scheduling.due.due_list import due_page, explanation
from scheduling.due.lists.filters import DueFilters
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem
from tests import builders as build
from tests.scheduling.rules import (
    DAY,
    a_rule,
    due,
    every,
    follows,
    item,
    lighting_test,
    on_another_day,
    reckon,
)

pytestmark = pytest.mark.django_db
FROM_NEW = {"first_from": "manufacture"}


@pytest.fixture
def slide():
    """Made on 15 December 2024; on an aircraft that follows the programme."""
    kind = build.a_kind("SLIDE")
    made = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2024-12-15"))
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("D1L-SLIDE", kind=kind)))
    build.installed(made, build.at_position(aircraft), "2025-02-10")
    made.aircraft = aircraft
    return made


def status(aircraft, word, since, **more):
    return AircraftStatus.objects.create(
        aircraft=aircraft, status=word, from_on=build.day(since), recorded_at=build.NOW, **more
    )


def on_the_list(as_of=DAY, **asked):
    page = due_page(filters=DueFilters(**asked), as_of=as_of)
    return {row.limit: row for row in page.rows}, page


def keys_on(day):
    return [one.limit_id for one in on_another_day(day) if one.band != Band.QUIET]


def test_what_would_be_past_only_after_it_has_left_is_not_on_the_list(slide):
    before = a_rule("OH-1", every(36, **FROM_NEW))  # 15 December 2027
    after = a_rule("OH-2", every(37, **FROM_NEW))  # 15 January 2028
    status(slide.aircraft, "left", "2028-01-16")

    reckon()

    rows, page = on_the_list()
    assert set(rows) == {"OH-1"}
    assert sum(page.counts[band] for band in page.counts if band != "quiet") == 1
    assert due(before) == "2027-12-15"
    assert item(after).band == Band.QUIET
    told, _ = on_the_list(unit_id=slide.pk)
    assert told["OH-2"].notes == ("not asked: the aircraft leaves the fleet on 16 Jan 2028",)
    steps = explanation(item_id=item(after).pk, as_of=DAY).steps
    assert steps[-1] == (
        "The aircraft leaves the fleet on 16 Jan 2028, before that: nothing falls due on it after"
        " it has left."
    )


def test_what_is_past_on_its_last_day_in_the_fleet_is_on_the_list(slide):
    limit = a_rule("OH-2", every(37, **FROM_NEW))  # good through 15 January 2028
    status(slide.aircraft, "left", "2028-01-17")

    reckon()

    assert item(limit).band != Band.QUIET
    assert due(limit) == "2028-01-15"


def test_nothing_is_listed_of_an_aircraft_once_it_has_left(slide):
    overdue = a_rule("OH-1", every(12, **FROM_NEW))
    lights = lighting_test()
    status(slide.aircraft, "left", "2027-07-03")

    reckon()

    assert {overdue.pk, lights.pk} == set(keys_on("2027-07-02"))
    assert keys_on("2027-07-03") == []


def test_a_unit_that_stays_falls_due_where_it_then_is(slide):
    limit = a_rule("OH-2", every(37, **FROM_NEW))
    status(slide.aircraft, "left", "2028-01-10")
    store = build.in_store(build.a_station())
    build.removed(slide, store, "2027-05-20")

    reckon()

    assert (item(limit).band, due(limit)) == (Band.IN_STORE, "2028-01-15")


def test_what_it_may_not_fly_with_does_not_ground_it_any_more(slide):
    a_rule("OH-1", every(12, **FROM_NEW))
    status(slide.aircraft, "left", "2027-06-01")
    reckon()

    assert what_grounds(None, DAY) == {}
    assert slide.aircraft.pk in what_grounds(None, date(2027, 5, 31))


def test_checks_behind_its_leaving_are_no_plan(slide):
    limit = a_rule("OH-1", every(36, **FROM_NEW))
    for name, day in (("C1", "2027-12-01"), ("C2", "2028-02-01")):
        Check.objects.create(
            aircraft=slide.aircraft,
            name=name,
            starts_on=build.day(day),
            ends_on=build.day(day),
            station=slide.aircraft.station,
        )
    status(slide.aircraft, "left", "2028-01-10")

    reckon()

    assert [check.name for check in planned_checks()] == ["C1"]
    assert item(limit).band == Band.BEYOND_PLAN


def test_one_that_comes_back_is_asked_by_the_day_before(slide):
    away = a_rule("OH-1", every(36, **FROM_NEW))  # 15 December 2027
    later = a_rule("OH-2", every(44, **FROM_NEW))  # 15 August 2028
    status(slide.aircraft, "left", "2027-12-01")
    status(slide.aircraft, "in_service", "2028-05-01")

    reckon()

    assert (due(away), due(later)) == ("2028-04-30", "2028-08-15")
    assert "is back on 1 May 2028" in explanation(item_id=item(away).pk, as_of=DAY).steps[-1]
    # Nothing while it is away; on the day that it is back what ran out meanwhile is overdue.
    assert keys_on("2028-05-01") == [away.pk, later.pk]
    there = {one.limit_id: one for one in on_another_day("2028-02-01")}
    assert (there[away.pk].due_on, there[away.pk].band != Band.OVERDUE) == (date(2028, 4, 30), True)


def test_a_leaving_taken_back_asks_again(slide):
    limit = a_rule("OH-2", every(37, **FROM_NEW))
    left = status(slide.aircraft, "left", "2028-01-10")
    status(slide.aircraft, "in_service", "2028-01-10", replaces=left)

    reckon()

    assert item(limit).band == Band.BEYOND_PLAN
    assert DueItem.objects.count() == 1
