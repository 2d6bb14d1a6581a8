"""What is inside a unit stays inside it when its record is merged into another: asked by every reader."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from equipment.findings.acts.walk_rounds import see_position, start_walk_round
from equipment.findings.walk.compare import Seen
from equipment.keeping.freeing import free_failed
from equipment.models import Hold, Reservation, Unit
from equipment.segregation.facts import Asked, aircraft_names, uses_of
from equipment.segregation.rule import why_not_use
from equipment.stores.reads.inside import inside_of
from equipment.swaps.acts import NewSwap, open_swap
from equipment.swaps.reads.state import state_of
from equipment.swaps.reads.unit_on import empty_inside
from equipment.units import reads as unit_reads
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps
from tests.nests import a_nest, merged

pytestmark = pytest.mark.django_db
DAY = build.day("2027-06-01")


@pytest.fixture
def aircraft(db):
    return build.an_aircraft()


@pytest.fixture
def nest(aircraft):
    """The nest's slide is fitted since March."""
    slide = build.a_unit()
    build.installed(slide, build.at_position(aircraft), "2027-03-01")
    return a_nest(slide)


@pytest.fixture
def job(db):
    """A swap that takes the slide of a nest off and puts another on."""
    return swaps.a_job(swaps.SHORT)


# --- pages ------------------------------------------------------------------------------------


def test_the_page_of_a_unit_shows_what_is_inside_it(client, nest):
    client.force_login(build.a_person("auditor"), "django.contrib.auth.backends.ModelBackend")

    told = client.get(reverse("equipment:unit", args=[nest.slide.pk])).content.decode()

    assert nest.bottle.serial_number in told
    assert [each.pk for each in unit_reads.inside(nest.slide)] == [nest.bottle.pk]


def test_from_the_innermost_unit_the_way_leads_to_the_aircraft(nest, aircraft):
    steps = unit_reads.whereabouts(nest.cell)

    assert [step.unit_id for step in steps] == [nest.bottle.pk, nest.slide.pk, None]
    assert steps[-1].registration == aircraft.registration


def test_a_door_names_the_unit_around_as_it_was_kept(client, nest):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")

    shown = client.get(f"/api/v1/units/{nest.cell.pk}").json()

    assert shown["place"]["inside_unit"] == nest.bottle.pk


# --- one level, whichever record is named -----------------------------------------------------


def test_the_record_merged_away_tells_the_same_of_its_inside_as_the_kept_one(nest):
    told = [
        Unit.objects.inside(one).values_list("pk", flat=True) for one in (nest.slide, nest.twin)
    ]

    assert [list(each) for each in told] == [[nest.bottle.pk]] * 2
    assert [each.units for each in inside_of(nest.twin)] == [
        each.units for each in inside_of(nest.slide)
    ]


def test_a_position_left_empty_is_told_of_the_kept_unit_whichever_record_is_named(nest):
    nest.slide.part_number.positions.create(code="LIGHT", name="LIGHT", kind=build.a_kind())

    assert empty_inside(nest.twin) == empty_inside(nest.slide)
    assert nest.slide.serial_number in empty_inside(nest.twin)[0]


# --- use --------------------------------------------------------------------------------------


def a_hold_of(unit):
    return Hold.objects.create(
        act_id=uuid4(),
        scope="unit",
        unit=unit,
        why="recall",
        words="Recalled.",
        held_at=build.NOW - timedelta(days=1),
        held_by=build.a_person("stores"),
    )


def test_a_doubt_about_the_innermost_unit_forbids_the_use_whichever_record_is_named(nest):
    a_hold_of(nest.cell)
    asked = Asked(DAY, build.NOW)

    found = uses_of([nest.slide.pk, nest.twin.pk], asked)

    codes = [{each.code for each in why_not_use(found[one.pk])} for one in (nest.slide, nest.twin)]
    assert codes == [{"unit_on_hold", "no_certificate"}] * 2


def test_a_place_inside_is_on_the_aircraft_that_the_kept_unit_is_on(nest, aircraft):
    assert aircraft_names(nest.bottle.place) == (aircraft.registration, aircraft.msn)


def test_what_holds_a_failed_unit_at_any_depth_is_no_longer_set_aside(nest):
    aside = Reservation.objects.create(
        act_id=uuid4(),
        unit=nest.slide,
        place=nest.slide.place,
        need_on=DAY,
        reserved_at=build.NOW,
        reserved_by=build.a_person("stores"),
    )

    freed = free_failed(
        unit_ids=[nest.cell.pk], words="is held.", by=build.a_person("stores"), at=build.NOW
    )

    assert freed == [aside]


# --- work on the aircraft ---------------------------------------------------------------------


def test_a_swap_inside_a_merged_unit_is_on_its_aircraft(nest, aircraft):
    swaps.a_rule_set()
    swaps.a_step_list(build.a_kind("BOTTLE"), swaps.SHORT)
    new = NewSwap(place=nest.bottle.place_id, station_id=aircraft.station_id, reason="due")

    swap = open_swap(by=swaps.a_technician(), new=new, act_id=uuid4(), at=build.NOW)

    assert swap.aircraft == aircraft


def test_a_position_inside_a_merged_unit_is_walked_with_its_aircraft(nest, aircraft):
    by = build.a_person("technician")
    walk = start_walk_round(
        by=by,
        aircraft_id=aircraft.pk,
        zone="",
        station_id=aircraft.station_id,
        act_id=uuid4(),
        at=build.NOW,
    )
    plate = Seen(nest.bottle.part_number.number, nest.bottle.serial_number)

    done = see_position(
        by=by,
        walk_round_id=walk.pk,
        place=nest.bottle.place_id,
        seen=plate,
        act_id=uuid4(),
        at=build.NOW,
    )

    assert (done.sighting.unit_id, done.discrepancies) == (nest.bottle.pk, ())


def lost(unit, when="2027-06-01 10:00"):
    build.moved(unit, "lost", build.PlaceAt("gone", name="lost"), when)


def test_what_was_lost_from_inside_a_merged_unit_that_came_off_is_not_accounted_for(job):
    nest = a_nest(job.old)
    job.open()
    job.take_off()

    lost(nest.cell)

    told = state_of(job.swap, job.now).ledger.nested_off_unaccounted
    assert [nest.cell.serial_number in each for each in told] == [True]


def test_what_was_lost_under_another_record_of_it_is_told(job):
    nest = a_nest(job.old)
    entered_twice = build.a_unit(nest.cell.part_number)
    job.open()
    job.take_off()

    lost(entered_twice)
    merged(nest.cell, entered_twice)

    told = state_of(job.swap, job.now).ledger.nested_off_unaccounted
    assert [nest.cell.serial_number in each for each in told] == [True]


def test_what_was_lost_is_told_though_the_merge_came_after_the_removal(job):
    light = build.a_part("", kind=build.a_kind())
    job.old.part_number.positions.create(code="LIGHT", name="LIGHT", kind=build.a_kind())
    inner, kept = build.a_unit(light), build.a_unit(job.old.part_number)
    build.installed(inner, build.inside(job.old), "2027-03-02")
    job.open()
    job.take_off()
    merged(kept, job.old)

    lost(inner)

    told = state_of(job.swap, job.now).ledger.nested_off_unaccounted
    assert [inner.serial_number in each for each in told] == [True]


def test_a_release_inside_a_merged_unit_holds_the_kept_one_and_all_inside_it(job):
    nest = a_nest(job.old)
    swaps.a_step_list(build.a_kind("BOTTLE"), swaps.SHORT)
    job.place, job.new = nest.bottle.place_id, None
    job.open()

    with CaptureQueriesContext(connection) as asked, pytest.raises(Refused):
        job.release()

    held = [each["sql"] for each in asked if each["sql"].endswith("ORDER BY id FOR UPDATE")]
    named = {int(key) for sql in held if "equipment_unit" in sql for key in re.findall(r"\d+", sql)}
    assert named >= {nest.slide.pk, *nest.inner}
