"""A discrepancy is settled: both histories come out right, and the settlement names the later fact."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.findings.acts import discrepancies as acts
from equipment.findings.acts.discrepancies import Happened
from equipment.findings.acts.walk_rounds import see_position, start_walk_round
from equipment.findings.walk.compare import Seen
from equipment.ledger.fitted import fitted
from equipment.models import Discrepancy, LifeStatement, Movement, Settlement, Sighting, Stay, Unit
from fleet.house.refusals import Refused
from tests import builders as build
from tests.builders_swaps import a_job

pytestmark = pytest.mark.django_db
LATER = build.NOW + timedelta(days=1)


@dataclass
class Scene:
    """An aircraft with a slide at its first door, as walked by a technician; the controller settles."""

    def __post_init__(self):
        self.station = build.a_station()
        self.aircraft = build.an_aircraft("D1L-SLIDE", "D1R-SLIDE", station=self.station)
        self.controller, self.technician = build.a_person(), build.a_person("technician")
        self.slide = build.a_unit()
        self.part = self.slide.part_number
        build.installed(self.slide, self.at("D1L-SLIDE"), "2027-03-01")
        self.walk = start_walk_round(
            by=self.technician,
            aircraft_id=self.aircraft.pk,
            zone="",
            station_id=self.station.pk,
            act_id=uuid4(),
            at=build.NOW,
        )

    def at(self, position):
        return build.at_position(self.aircraft, position)

    def see(self, seen, position="D1L-SLIDE"):
        done = see_position(
            by=self.technician,
            walk_round_id=self.walk.pk,
            place=self.at(position),
            seen=seen,
            act_id=uuid4(),
            at=build.NOW,
        )
        return done.discrepancies[0]

    def see_unit(self, unit, position="D1L-SLIDE"):
        return self.see(Seen(unit.part_number.number, unit.serial_number), position)

    def happened(self, when="2027-05-10", **more):
        facts = {"document": "LOG 4711", "to": build.in_quarantine(self.station), **more}
        return Happened(build.on(when), **facts)

    def swap(self, discrepancy, unit, **more):
        facts = {"happened": self.happened(), "by": self.controller, "act_id": uuid4(), **more}
        return acts.settle_as_unrecorded_swap(
            discrepancy_id=discrepancy.pk,
            found_unit_id=unit.pk if unit else None,
            at=LATER,
            **facts,
        ).settlement

    def settle(self, discrepancy, sort, **more):
        facts = {"words": "as looked up", "by": self.controller, "act_id": uuid4(), **more}
        return acts.settle(discrepancy_id=discrepancy.pk, sort=sort, at=LATER, **facts).settlement


@pytest.fixture
def scene():
    return Scene()


def where(unit, day):
    """The sort and the position of the place where a unit was on a day, as known now."""
    at = build.instant(f"{day} 12:00")
    stay = Stay.objects.filter(unit=unit, known__upper_inf=True, valid__contains=at).first()
    if stay is None:
        return None
    position = stay.place.aircraft_position
    return position.type_position.code if position else stay.place.sort


def history(unit, *days):
    return [where(unit, day) for day in days]


# --- a swap that nobody recorded --------------------------------------------------------------


def test_both_histories_come_out_right(scene):
    other = build.a_unit(scene.part)
    build.moved(other, "received", build.in_store(scene.station), "2027-04-01")
    found = scene.see_unit(other)

    done = scene.swap(found, other)

    days = ("2027-04-15", "2027-05-09", "2027-05-10", "2027-05-31")
    assert history(scene.slide, *days) == ["D1L-SLIDE", "D1L-SLIDE", "quarantine", "quarantine"]
    assert history(other, *days) == ["store", "store", "D1L-SLIDE", "D1L-SLIDE"]
    assert (done.sort, done.movement.unit, done.movement.document) == (
        "swap_recorded",
        other,
        "LOG 4711",
    )
    assert not Movement.objects.nonconforming().exists()


def test_what_the_records_said_before_stays_readable(scene):
    other = build.a_unit(scene.part)
    found = scene.see_unit(other)
    scene.swap(found, other)

    at = build.instant("2027-05-20 12:00")
    now = fitted(scene.aircraft.pk, at, None)
    then = fitted(scene.aircraft.pk, at, build.NOW)

    assert [row.unit_id for row in now] == [other.pk]
    assert [row.unit_id for row in then] == [scene.slide.pk]


def test_two_units_crossed_are_put_right_by_one_act(scene):
    other = build.a_unit(scene.part)
    build.installed(other, scene.at("D1R-SLIDE"), "2027-03-02")
    found = scene.see_unit(other)

    scene.swap(found, other, happened=scene.happened(to=scene.at("D1R-SLIDE")))

    assert history(other, "2027-05-09", "2027-05-11") == ["D1R-SLIDE", "D1L-SLIDE"]
    assert history(scene.slide, "2027-05-09", "2027-05-11") == ["D1L-SLIDE", "D1R-SLIDE"]


def test_what_is_recorded_of_the_found_unit_since_is_annulled_only_when_said(scene):
    other = build.a_unit(scene.part)
    build.installed(other, scene.at("D1R-SLIDE"), "2027-03-02")
    build.removed(other, build.in_store(scene.station), "2027-05-20")
    found = scene.see_unit(other)
    with pytest.raises(Refused) as refused:
        scene.swap(found, other)
    assert (refused.value.code, refused.value.field) == ("later_movements", "annul_later")

    scene.swap(found, other, happened=scene.happened(annul_later=True))

    days = ("2027-05-09", "2027-05-11", "2027-05-25")
    assert history(other, *days) == ["D1R-SLIDE", "D1L-SLIDE", "D1L-SLIDE"]
    assert history(scene.slide, *days) == ["D1L-SLIDE", "quarantine", "quarantine"]


def test_nothing_there_is_a_removal_that_nobody_recorded(scene):
    found = scene.see(Seen(is_empty=True))

    done = scene.swap(found, None)

    assert (done.movement.unit, done.movement.sort) == (scene.slide, "removed")
    assert where(scene.slide, "2027-05-11") == "quarantine"


def test_a_unit_where_none_is_recorded_is_a_fitting_that_nobody_recorded(scene):
    other = build.a_unit(scene.part)
    found = scene.see_unit(other, "D1R-SLIDE")

    done = scene.swap(found, other, happened=scene.happened(to=None))

    assert (done.movement.unit, done.movement.sort) == (other, "installed")


def test_a_removal_that_did_not_conform_is_taken_up_again(db):
    job = a_job()
    job.open()
    other = build.a_unit(job.old.part_number)
    moved = job.take_off(other)
    assert not moved.is_conforming
    happened = Happened(build.on("2027-05-10"), "LOG 1", to=build.in_quarantine(job.station))

    acts.settle_as_unrecorded_swap(
        by=build.a_person(),
        discrepancy_id=moved.discrepancy_id,
        found_unit_id=other.pk,
        happened=happened,
        act_id=uuid4(),
        at=LATER,
    )

    assert where(other, "2027-05-20") == "D1L-SLIDE"
    assert where(other, "2027-06-02") == "quarantine"
    assert where(job.old, "2027-05-20") == "quarantine"
    assert not Movement.objects.nonconforming().exists()


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"document": " "}, "missing"),
        ({"document": "9" * 81}, "too_long"),
        ({"to": None}, "missing"),
        ({"when": "2027-06-02"}, "after_it_was_found"),
        ({"when": "2027-02-01"}, "nothing_recorded_before"),
    ],
)
def test_a_story_that_cannot_be_is_refused_and_nothing_is_written(scene, more, code):
    other = build.a_unit(scene.part)
    found = scene.see_unit(other)
    before = Movement.objects.count()

    with pytest.raises(Refused) as refused:
        scene.swap(found, other, happened=scene.happened(**more))

    assert refused.value.code == code
    assert Movement.objects.count() == before
    assert not Settlement.objects.exists()


def test_of_several_units_the_one_that_came_off_is_named(scene):
    aircraft = build.an_aircraft("BIN", capacity=2)
    scene.aircraft = aircraft
    scene.walk = start_walk_round(
        by=scene.technician,
        aircraft_id=aircraft.pk,
        zone="",
        station_id=scene.station.pk,
        act_id=uuid4(),
        at=build.NOW,
    )
    vests = [build.a_unit(scene.part) for _ in range(3)]
    for vest in vests[:2]:
        build.installed(vest, scene.at("BIN"), "2027-03-01")
    found = scene.see_unit(vests[2], "BIN")
    assert found.recorded_unit_id is None

    scene.swap(found, vests[2], recorded_unit_id=vests[0].pk)

    assert [where(vest, "2027-05-20") for vest in vests] == ["quarantine", "BIN", "BIN"]


# --- a unit that is not on record -------------------------------------------------------------


def unknown(scene, found, **more):
    facts = {"happened": scene.happened(), "by": scene.controller, "act_id": uuid4(), **more}
    return acts.settle_as_unknown_unit(
        discrepancy_id=found.pk,
        part_number_id=scene.part.pk,
        serial_number="x555",
        at=LATER,
        **facts,
    ).settlement


def test_an_unknown_unit_enters_the_records_and_its_missing_papers_are_said(scene):
    found = scene.see(Seen(scene.part.number, "X555"))

    done = unknown(scene, found)

    unit = Unit.objects.get(serial_number="X555")
    assert (done.sort, done.movement.unit) == ("unit_received", unit)
    assert "data of its limits are missing" in done.words
    assert history(unit, "2027-05-09", "2027-05-11") == [None, "D1L-SLIDE"]
    assert not LifeStatement.objects.filter(unit=unit).exists()


def test_an_unknown_unit_needs_a_part_number_that_is_on_record(scene):
    found = scene.see(Seen("NEW-1", "X555"))

    with pytest.raises(Refused) as refused:
        acts.settle_as_unknown_unit(
            by=scene.controller,
            discrepancy_id=found.pk,
            part_number_id=2**40,
            serial_number="X555",
            happened=scene.happened(),
            act_id=uuid4(),
            at=LATER,
        )

    assert (refused.value.code, refused.value.field) == ("unknown_part_number", "part_number")


# --- misread, put right -----------------------------------------------------------------------


def test_what_was_misread_is_settled_by_another_look(scene):
    found = scene.see(Seen(scene.part.number, "X555"))

    done = scene.settle(found, "record_right", words="Read again: the serial is as recorded.")

    again = Sighting.objects.get(reconciles=found.sighting)
    assert (done.sort, again.unit) == ("record_right", scene.slide)
    assert again.note == "Read again: the serial is as recorded."


def test_a_later_movement_settles_and_is_named(scene):
    other = build.a_unit(scene.part)
    found = scene.see_unit(other)
    moved = build.removed(scene.slide, build.in_store(scene.station), "2027-05-30", at=LATER)

    done = scene.settle(found, "corrected", movement_id=moved.movement_id)

    assert done.movement_id == moved.movement_id


def test_a_pin_taken_out_is_put_right_in_words_and_another_unit_is_not(scene):
    pin = scene.see(Seen(pin_read="left in"))
    other = scene.see_unit(build.a_unit(scene.part))

    assert scene.settle(pin, "put_right", words="Pin out, LOG 4712").sort == "put_right"
    with pytest.raises(Refused) as refused:
        scene.settle(other, "put_right", words="done")
    assert refused.value.code == "later_fact_missing"


def test_an_earlier_movement_or_one_of_another_unit_settles_nothing(scene):
    found = scene.see_unit(build.a_unit(scene.part))
    first = Movement.objects.get(unit=scene.slide)
    other = build.moved(
        build.a_unit(), "received", build.in_store(scene.station), "2027-05-01", at=LATER
    )

    for movement, code in (
        (first.pk, "fact_is_earlier"),
        (other.movement_id, "fact_of_another"),
        (2**40, "unknown_movement"),
    ):
        with pytest.raises(Refused) as refused:
            scene.settle(found, "corrected", movement_id=movement)
        assert (refused.value.code, refused.value.field) == (code, "movement")


def test_it_is_settled_once_and_the_second_is_told_by_whom(scene):
    found = scene.see(Seen(pin_read="left in"))
    act = uuid4()
    first = scene.settle(found, "put_right", act_id=act)

    assert scene.settle(found, "put_right", act_id=act) == first
    with pytest.raises(Refused, match="settled this on") as refused:
        scene.settle(found, "put_right")
    assert refused.value.code == "settled_already"


@pytest.mark.parametrize("role", ["technician", "stores", "certifying", "auditor", "administrator"])
def test_only_the_controller_settles(scene, role):
    found = scene.see(Seen(pin_read="left in"))

    with pytest.raises(Refused) as refused:
        scene.settle(found, "put_right", by=build.a_person(role))

    assert refused.value.code == "not_permitted"
    assert Discrepancy.objects.filter(settlement=None).count() == 1
