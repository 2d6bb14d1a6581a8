"""Off and on are recorded as they happened, conforming or not, and both histories come out right."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.keeping.correct import correct_movement, reconcile_movements
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import MovementFact
from equipment.ledger.fitted import fitted
from equipment.models import Discrepancy, Movement, Settlement, Sighting, UnitTag
from equipment.swaps.acts import FoundUnit, TagFact
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db
MORNING = build.instant("2027-06-01 08:00")


@pytest.fixture
def job():
    made = swaps.a_job(swaps.SHORT)
    made.open()
    return made


def in_the_way(job):
    return {each.code for each in stands_in_the_way(state_of(job.swap, job.now))}


def held(job, at):
    return {row.unit_id for row in fitted(job.aircraft, at)}


def test_a_swap_moves_both_units_when_each_happens(job):
    off, on = job.take_off(minutes=600_000, cycles=9_000, log_page="QL-17"), job.put_on()

    assert (off.is_conforming, on.is_conforming) == (True, True)
    assert held(job, MORNING - timedelta(minutes=1)) == {job.old.pk}
    assert held(job, MORNING) == set()
    assert held(job, job.now) == {job.new.pk}
    movement = Movement.objects.get(pk=off.movement_id)
    assert (movement.aircraft_minutes, movement.log_page) == (600_000, "QL-17")


def test_what_comes_off_is_tagged_from_that_moment(job):
    tag = TagFact("unserviceable", "defect", "gauge below its band", "recharge", total_cycles=812)

    job.take_off(tag=tag)

    kept = UnitTag.objects.get(unit=job.old)
    assert (kept.why, kept.words, kept.total_cycles) == ("defect", "gauge below its band", 812)
    assert (kept.tagged_at, kept.swap) == (MORNING, job.swap)


def test_a_double_tap_moves_once(job):
    act = uuid4()

    first, again = job.take_off(act_id=act), job.take_off(act_id=act)

    assert first == again
    assert UnitTag.objects.filter(unit=job.old).count() == 1


def test_a_second_removal_corrects_the_first(job):
    first = job.take_off()

    second = job.take_off(when=build.on("2027-06-01 07:00"))

    assert second.is_conforming
    assert Movement.objects.get(pk=second.movement_id).corrects_id == first.movement_id
    assert held(job, build.instant("2027-06-01 07:30")) == set()


def test_a_unit_that_does_not_fit_is_taken_as_fitted_and_stands_in_the_way(job):
    other = build.a_unit(build.a_part(kind=build.a_kind("VEST")))
    job.take_off()

    done = job.put_on(other)

    assert [each.code for each in done.reasons] == ["kind_differs"]
    assert Discrepancy.objects.get(pk=done.discrepancy_id).sort == "nonconforming"
    assert {"installation_not_conforming", "part_does_not_fit"} <= in_the_way(job)


def test_once_another_unit_is_recorded_the_wrong_one_stands_in_the_way_no_longer(job):
    job.take_off()
    job.put_on(build.a_unit(build.a_part(kind=build.a_kind("VEST"))))

    done = job.put_on()

    assert done.is_conforming
    left = in_the_way(job)
    assert not left & {"installation_not_conforming", "part_does_not_fit", "discrepancy_open"}


def test_a_unit_on_no_record_is_seen_and_left_to_the_controller(job):
    done = job.take_off(unit_id=None, found=FoundUnit("QX-1", "77-A"))

    assert (done.movement_id, done.is_conforming) == (None, False)
    found = Discrepancy.objects.get(pk=done.discrepancy_id)
    assert (found.sort, found.recorded_unit) == ("unknown_unit", job.old)
    assert found.sighting is not None and found.sighting.serial_number_read == "77-A"
    assert {"removal_not_recorded", "discrepancy_open"} <= in_the_way(job)


def test_a_plate_that_is_on_record_is_that_unit(job):
    plate = FoundUnit(job.old.part_number.number.lower(), f" {job.old.serial_number} ")

    assert job.take_off(unit_id=None, found=plate).is_conforming


def test_a_unit_fitted_on_another_aircraft_is_not_taken_off_it_by_a_mistyped_serial(job):
    part = job.old.part_number
    of_type = build.an_aircraft_type("D4R-SLIDE", kind=part.kind)
    elsewhere, other = build.an_aircraft(of_type=of_type), build.a_unit(part)
    build.a_fit(part, elsewhere, "D4R-SLIDE")
    at = build.at_position(elsewhere, "D4R-SLIDE")
    assert build.installed(other, at, "2027-03-01").is_conforming

    done = job.take_off(other)

    assert [each.code for each in done.reasons] == ["unit_recorded_elsewhere"]
    assert "D4R-SLIDE since 1 Mar 2027" in done.reasons[0].message
    found = Discrepancy.objects.get(pk=done.discrepancy_id)
    assert (found.sort, found.recorded_unit, found.found_unit) == ("other_unit", job.old, other)
    other.refresh_from_db()
    assert other.aircraft == elsewhere
    assert {"removal_not_conforming", "discrepancy_open"} <= in_the_way(job)


def test_the_unit_found_differs_and_both_histories_come_out_right(job):
    """On the aircraft was B since March, and the record said A."""
    real = job.new
    done = job.take_off(real)
    found = Discrepancy.objects.get(pk=done.discrepancy_id)
    assert (found.sort, found.recorded_unit, found.found_unit) == ("other_unit", job.old, real)
    assert Sighting.objects.get(unit=real).place == job.swap.place
    assert {"removal_not_conforming", "discrepancy_open"} <= in_the_way(job)

    settled_as_b_from_march(job, found)

    assert held(job, build.instant("2027-05-01 00:00")) == {real.pk}
    assert held(job, job.now) == set()
    real.refresh_from_db(), job.old.refresh_from_db()
    assert (real.place.sort, job.old.place.sort) == ("quarantine", "store")
    assert list(check_whereabouts()) == []
    assert not in_the_way(job) & {"removal_not_conforming", "discrepancy_open"}


def settled_as_b_from_march(job, found):
    """The controller: what was installed in March was B; A never left the store; then the removal."""
    controller = build.a_person("controller")
    said = Movement.objects.get(unit=job.old, sort="installed")
    fact = MovementFact(job.new.pk, "installed", job.place, build.on("2027-03-01 08:00"))
    correct_movement(by=controller, movement_id=said.pk, fact=fact, act_id=uuid4(), at=job.tick())
    build.moved(
        job.old,
        "received",
        build.in_store(job.station),
        "2027-03-01",
        by=build.a_person("stores"),
        at=job.tick(),
    )
    (right,) = reconcile_movements(
        by=controller, movement_ids=[found.movement_id], act_id=uuid4(), at=job.tick()
    )
    Settlement.objects.create(
        discrepancy=found,
        act_id=uuid4(),
        sort="corrected",
        words="B since March",
        movement_id=right.movement_id,
        settled_at=job.tick(),
        settled_by=controller,
    )


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"unit_id": None}, "missing"),
        ({"unit_id": 0}, "unknown_unit"),
        ({"unit_id": None, "found": FoundUnit(" ", "1")}, "missing"),
        ({"unit_id": None, "found": FoundUnit("x" * 41, "1")}, "too_long"),
        ({"when": build.on("2027-07-01 08:00")}, "in_the_future"),
        ({"to": build.at_position}, "place_does_not_suit"),
        ({"tag": TagFact("good")}, "unknown_tag"),
        ({"tag": TagFact("unserviceable", "no reason")}, "unknown_reason"),
        ({"tag": TagFact("unserviceable")}, "missing"),
        ({"log_page": "x" * 41}, "too_long"),
        ({"minutes": -1}, "out_of_range"),
    ],
)
def test_what_cannot_be_kept_is_refused_at_its_field(job, change, code):
    if callable(change.get("to")):
        change = {"to": job.place}

    with pytest.raises(Refused) as told:
        job.take_off(**change)

    assert told.value.code == code
    assert not Movement.objects.filter(sort="removed").exists()
