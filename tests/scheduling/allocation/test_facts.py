"""Needs and supplies out of the tables, as the matching takes them."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import Alternate, Hold, Title
from fleet.models import Aircraft, AircraftStatus
from scheduling.allocation.facts.gathered import gather
from scheduling.matching.facts.facts import NO_LIMIT, Fit, Way
from scheduling.matching.telling.why_not import why_not
from tests import builders as build
from tests.scheduling import rules as on

from . import world as here

pytestmark = pytest.mark.django_db


def only_need(found):
    [need] = found.facts.needs
    return need


def supply(found, unit):
    return found.supplies[str(unit.pk)].supply


def codes(found, unit):
    return [one.code for one in why_not(only_need(found), supply(found, unit), found.facts)]


def test_a_removal_is_needed_at_the_check_that_the_due_list_names():
    world = here.a_world(planes=1)

    need = only_need(world.gathered())

    assert need.key == f"{world.aircraft[0].registration} D1L-SLIDE"
    assert (need.on, need.station) == (here.JULY, "QBAS")
    assert need.opportunities == (here.NOVEMBER,)
    assert need.fits == (Fit("HS-100"),)


def test_what_runs_out_before_the_next_check_needs_a_day_of_its_own():
    world = here.a_world(planes=1, made="2024-06-20")

    found = world.gathered()

    [fact] = found.needs.values()
    assert fact.removal.stop is None
    assert fact.need.on == date(2027, 6, 20)


def test_what_is_overdue_is_needed_today():
    world = here.a_world(planes=1, made="2024-05-01")

    assert only_need(world.gathered()).on == here.DAY


def test_a_work_done_in_place_makes_nothing_come_off():
    world = here.a_world(planes=1)
    on.the_work("OVERHAUL").limits.update(until_on=date(2026, 1, 1))
    kind = build.a_kind("SLIDE")
    on.a_rule("SLIDE-INS", on.every(36, first_from="manufacture"), work="LOOK", kind=kind)
    assert len(world.gathered().needs) == 1

    type(on.the_work("LOOK")).objects.filter(code="LOOK").update(is_done_in_place=True)

    assert not world.gathered().needs


def test_what_is_due_inside_comes_off_with_the_unit_around_it():
    world = here.a_world(planes=1)
    on.the_work("OVERHAUL").limits.update(until_on=date(2026, 1, 1))
    slide = world.fitted[world.aircraft[0].registration]
    build.PartPosition.objects.create(
        part_number=world.slide, code="LIGHT", name="LIGHT", kind=build.a_kind("LIGHT")
    )
    light = build.a_unit(
        build.a_part(removed="shop", kind=build.a_kind("LIGHT")), manufactured_on=date(2025, 7, 20)
    )
    build.installed(light, build.inside(slide), "2027-02-01")
    on.a_rule(
        "LIGHT-REP",
        on.every(24, first_from="manufacture"),
        work="EXCHANGE",
        parts=[light.part_number],
    )

    [fact] = world.gathered().needs.values()

    assert (fact.row.unit_id, fact.need.on) == (slide.pk, here.JULY)
    assert fact.removal.work_names == ("Exchange",)


def test_an_alternate_may_go_there_too():
    world = here.a_world(planes=1)
    other = build.a_part("HS-200", kind=build.a_kind("SLIDE"))
    Alternate.objects.create(part_number=world.slide, alternate=other)

    need = only_need(world.gathered())

    assert need.fits == (Fit("HS-100"), Fit("HS-200"))
    assert need.family.endswith("HS-100, HS-200")


def test_a_spare_lasts_as_long_as_its_limits_say():
    world = here.a_world(planes=1)
    spare = world.a_spare(made="2026-02-10")

    found = supply(world.gathered(), spare)

    assert found.lasts_until == date(2029, 2, 10)
    assert (found.station, found.free_from, found.source) == ("QBAS", here.DAY, "store")
    assert found.shelf_until == NO_LIMIT


def test_a_spare_without_a_certificate_says_so():
    world = here.a_world(planes=1)
    spare = world.a_spare(has_certificate=False)

    assert codes(world.gathered(), spare) == ["no_certificate"]


def test_a_held_spare_is_not_offered_and_says_why():
    world = here.a_world(planes=1)
    spare = world.a_spare()
    Hold.objects.create(
        act_id=uuid4(),
        scope="unit",
        value="",
        unit=spare,
        why="recall",
        words="Recalled.",
        held_at=here.AT - timedelta(days=1),
        held_by=world.clerk,
    )

    found = world.gathered()

    assert codes(found, spare) == ["in_quarantine"]
    assert found.supplies[str(spare.pk)].said[0][0] == "unit_on_hold"


def test_a_spare_of_another_owner_goes_where_its_owner_allows():
    world = here.a_world(planes=2)
    spare = world.a_spare()
    Title.objects.create(
        unit=spare,
        sort="pool_loan",
        owner="Pool",
        from_on=date(2027, 1, 1),
        restriction=f"{world.aircraft[0].registration} only",
        recorded_at=here.AT,
    )

    assert supply(world.gathered(), spare).only_msns == {world.aircraft[0].msn}


def test_what_comes_off_is_back_after_the_turn_time_of_its_kind():
    world = here.a_world(planes=1)
    here.a_rule_of_stock(turn_days=30, hurry_days=5)
    slide = world.fitted[world.aircraft[0].registration]

    found = supply(world.gathered(), slide)

    assert (found.source, found.free_from) == ("removal", here.JULY + timedelta(days=30))
    assert found.hurry_days == 5
    # 36 months anew, as it ran before
    assert found.lasts_until == found.free_from + (date(2027, 8, 1) - date(2024, 8, 1))


def test_a_unit_at_a_shop_without_a_promise_is_back_after_the_usual_time():
    world = here.a_world(planes=1)
    spare = world.a_spare()
    build.moved(spare, "sent", build.SHOP, "2027-05-20")

    found = supply(world.gathered(), spare)

    assert (found.source, found.station) == ("shop", "QBAS")
    assert found.free_from == date(2027, 5, 20) + timedelta(days=45)


def test_a_shop_that_is_late_without_a_new_promise_has_no_day():
    world = here.a_world(planes=1)
    spare = world.a_spare()
    build.moved(spare, "sent", build.SHOP, "2027-03-20")

    assert codes(world.gathered(), spare) == ["arrival_not_known"]


def test_two_days_stand_in_where_no_way_is_entered_and_nothing_goes_where_others_are():
    world = here.a_world(planes=1)
    spare = world.a_spare(world.outstation)
    assert not codes(world.gathered(), spare)

    here.a_way(world.base, world.outstation)

    assert codes(world.gathered(), spare) == ["no_way_there"]


def test_ways_stand_in_between_where_units_are_and_where_they_are_needed_however_many_stations_there_are():
    world = here.a_world(planes=1)
    world.a_spare(world.outstation)
    few = world.gathered().facts.ways
    for number in range(40):
        build.a_station(f"QX{number:02}")

    assert world.gathered().facts.ways == few
    assert {(way.origin, way.station) for way in few} == {("QOUT", "QBAS")}


def test_a_way_for_dangerous_goods_takes_other_goods_too():
    world = here.a_world(planes=1)
    here.a_way(world.outstation, world.base, 4, cost=30, takes_dangerous_goods=True)

    ways = world.gathered().facts.ways

    assert ways == (Way("QOUT", "QBAS", 4, 30, False), Way("QOUT", "QBAS", 4, 30, True))


def test_a_slide_with_a_charged_bottle_inside_travels_as_dangerous_goods_and_an_empty_one_does_not():
    world = here.a_world(planes=1)
    build.PartPosition.objects.create(
        part_number=world.slide, code="BOTTLE", name="BOTTLE", kind=build.a_kind("BOTTLE")
    )
    bottle = build.a_unit(
        build.a_part(kind=build.a_kind("BOTTLE"), dangerous_goods="compressed gas")
    )
    with_bottle, without = (world.a_spare(world.outstation) for _ in range(2))
    build.installed(bottle, build.inside(with_bottle, "BOTTLE"), "2027-03-02")
    here.a_way(world.outstation, world.base)

    found = world.gathered()

    assert codes(found, with_bottle) == ["dangerous_goods_late"]
    assert codes(found, without) == [
        "needs_decision"
    ]  # nothing is on record where its bottle belongs


def test_the_facts_take_as_many_questions_for_many_units_as_for_few():
    few = here.a_world(planes=2)
    few.a_spare()
    on.reckon()
    with CaptureQueriesContext(
        connection,
    ) as before:
        gather(here.DAY, here.AT)
    of_type = few.aircraft[0].aircraft_type
    for _ in range(4):
        one = on.follows(build.an_aircraft(of_type=of_type, station=few.base))
        unit = build.a_unit(few.slide, manufactured_on=date(2024, 8, 1))
        build.installed(unit, build.at_position(one), "2024-09-01")
        few.a_spare()
    on.reckon()
    with CaptureQueriesContext(connection) as after:
        found = gather(here.DAY, here.AT)

    assert len(found.needs) == Aircraft.objects.count() == 6
    # Eleven of them are the plan's: what is placed where, margin, prices, accesses, decisions and which checks
    # are closed; one asks whose rules ask for a dual release.
    assert len(after) == len(before) <= 48


def status(aircraft, word, since):
    AircraftStatus.objects.create(
        aircraft=aircraft, status=word, from_on=build.day(since), recorded_at=here.AT
    )


def test_what_is_due_before_a_parked_aircraft_returns_is_needed_before_it_flies_again():
    world = here.a_world(planes=1)
    status(world.aircraft[0], "parked", "2027-05-01")
    status(world.aircraft[0], "in_service", "2027-09-01")

    found = world.gathered()

    [fact] = found.needs.values()
    assert (fact.need.on, fact.removal.stop) == (date(2027, 8, 31), None)
    assert found.left_out == {}


def test_of_an_aircraft_parked_without_a_day_of_return_nothing_is_needed_on_a_day():
    world = here.a_world(planes=1)
    status(world.aircraft[0], "parked", "2027-05-01")

    found = world.gathered()

    assert not found.needs
    assert found.left_out == {"parked": 1}


def test_an_overnight_stop_while_parked_is_no_opportunity():
    world = here.a_world(planes=1, made="2024-06-20")
    overnight = {"sort": "overnight"}
    here.planned(world.aircraft[0], "NIGHT", date(2027, 6, 15), world.base, **overnight)
    assert only_need(world.gathered()).on == date(2027, 6, 15)

    status(world.aircraft[0], "parked", "2027-06-10")
    status(world.aircraft[0], "in_service", "2027-06-18")

    assert only_need(world.gathered()).on == date(2027, 6, 20)
