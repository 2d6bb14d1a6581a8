"""A walk-round: what is seen is kept, moves nothing, and each difference waits for the controller once."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.findings.acts.walk_rounds import see_position, start_walk_round
from equipment.findings.walk.compare import Seen
from equipment.ledger.facts import RowsRefused
from equipment.models import Discrepancy, Movement, Sighting
from fleet.house.refusals import Refused
from fleet.models import TypePosition
from tests import builders as build

pytestmark = pytest.mark.django_db


@pytest.fixture
def station():
    return build.a_station()


@pytest.fixture
def aircraft(station):
    return build.an_aircraft("D1L-SLIDE", "D1R-SLIDE", station=station)


@pytest.fixture
def slide(aircraft):
    unit = build.a_unit()
    build.installed(unit, build.at_position(aircraft), "2027-03-01")
    return unit


@pytest.fixture
def technician():
    return build.a_person("technician")


@pytest.fixture
def walk(aircraft, technician):
    return started(aircraft, technician)


def started(aircraft, by, **more):
    facts = {"zone": "", "act_id": uuid4(), "at": build.NOW, **more}
    return start_walk_round(by=by, aircraft_id=aircraft.pk, station_id=aircraft.station_id, **facts)


def look(walk, by, seen, position="D1L-SLIDE", **more):
    facts = {"act_id": uuid4(), "at": build.NOW, **more}
    place = build.at_position(walk.aircraft, position)
    return see_position(by=by, walk_round_id=walk.pk, place=place, seen=seen, **facts)


def plate(unit):
    return Seen(unit.part_number.number, unit.serial_number)


def test_what_agrees_is_kept_as_seen_and_moves_nothing(walk, technician, slide):
    before = Movement.objects.count()

    done = look(walk, technician, replace(plate(slide), gauge_read="in the band"))

    assert (done.sighting.unit_id, done.sighting.walk_round_id) == (slide.pk, walk.pk)
    assert done.discrepancies == ()
    assert Movement.objects.count() == before


def test_another_unit_waits_for_the_controller(walk, technician, slide):
    other = build.a_unit(slide.part_number)

    [found] = look(walk, technician, plate(other)).discrepancies

    assert (found.sort, found.recorded_unit_id, found.found_unit_id) == (
        "other_unit",
        slide.pk,
        other.pk,
    )
    assert (found.aircraft_id, found.walk_round_id) == (walk.aircraft_id, walk.pk)


def test_the_same_difference_seen_again_waits_once(walk, aircraft, technician, slide):
    look(walk, technician, Seen(is_empty=True))
    again = look(started(aircraft, technician), technician, Seen(is_empty=True))

    assert again.discrepancies == ()
    assert Discrepancy.objects.get().sort == "no_unit"


def test_the_same_act_again_gives_the_first_and_another_under_its_id_is_refused(
    walk, technician, slide
):
    act = uuid4()
    first = look(walk, technician, Seen("HS-9", "555"), act_id=act)
    again = look(walk, technician, Seen("HS-9", "555"), act_id=act)

    assert (again.sighting, again.discrepancies) == (first.sighting, first.discrepancies)
    assert not again.is_new
    with pytest.raises(Refused, match="Something else was recorded"):
        look(walk, technician, Seen("HS-9", "556"), act_id=act)


def test_a_bin_of_several_is_seen_one_by_one(technician):
    aircraft = build.an_aircraft("BIN", capacity=3)
    vests = [build.a_unit() for _ in range(3)]
    for vest in vests:
        build.installed(vest, build.at_position(aircraft, "BIN"), "2027-03-01")
    walk = started(aircraft, technician)

    for vest in vests[:2]:
        assert look(walk, technician, plate(vest), "BIN").discrepancies == ()
    [missed] = look(walk, technician, Seen(is_empty=True), "BIN").discrepancies

    assert (missed.sort, missed.recorded_unit_id) == ("no_unit", vests[2].pk)


def test_a_unit_that_turned_out_to_be_another_is_known_by_its_old_plate(walk, technician, slide):
    from equipment.keeping.merge import merge_units
    from equipment.ledger.facts import MergeFact

    twin = build.a_unit(slide.part_number)
    fact = MergeFact(slide.pk, twin.pk, "the plate was misread at receipt")
    merge_units(by=build.a_person("controller"), rows=[fact], at=build.NOW)

    done = look(walk, technician, plate(twin))

    assert done.sighting.unit_id == slide.pk


def test_it_was_seen_when_the_phone_says_if_that_may_be(walk, technician, slide):
    later = build.NOW + timedelta(hours=2)
    offline = look(
        walk, technician, plate(slide), at=later, sender_at=build.NOW + timedelta(hours=1)
    )
    wrong = look(walk, technician, plate(slide), at=later, sender_at=build.NOW - timedelta(days=9))

    assert offline.sighting.seen_at == build.NOW + timedelta(hours=1)
    assert wrong.sighting.seen_at == later


@pytest.mark.parametrize(
    ("seen", "code"),
    [
        (Seen(), "nothing_read"),
        (Seen("HS-9", is_empty=True), "empty_with_readings"),
        (Seen("9" * 41), "too_long"),
        (Seen(note="\x00"), "unreadable"),
    ],
)
def test_what_says_nothing_is_refused_at_its_field(walk, technician, seen, code):
    with pytest.raises(Refused) as refused:
        look(walk, technician, seen)

    assert refused.value.code == code
    assert not Sighting.objects.exists()


def test_a_position_of_another_aircraft_or_zone_is_refused(aircraft, technician, slide):
    TypePosition.objects.filter(code="D1R-SLIDE").update(zone="200")
    walk = started(aircraft, technician, zone="200")
    other = build.at_position(build.an_aircraft("D1L-SLIDE"))

    for place in (other, build.at_position(aircraft), 2**40):
        with pytest.raises((Refused, RowsRefused)) as refused:
            see_position(
                by=technician,
                walk_round_id=walk.pk,
                place=place,
                seen=plate(slide),
                act_id=uuid4(),
                at=build.NOW,
            )
        assert refused.value.field == "place"


def test_a_walk_round_names_a_zone_that_there_is(aircraft, technician):
    with pytest.raises(Refused) as refused:
        started(aircraft, technician, zone="999")

    assert (refused.value.code, refused.value.field) == ("unknown_zone", "zone")


def test_a_walk_round_begun_twice_is_one(aircraft, technician):
    act = uuid4()

    assert started(aircraft, technician, act_id=act) == started(aircraft, technician, act_id=act)


def test_the_auditor_walks_nowhere(walk, slide):
    with pytest.raises(Refused, match="Your role"):
        look(walk, build.a_person("auditor"), plate(slide))
