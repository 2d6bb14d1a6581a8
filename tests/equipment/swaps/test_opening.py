"""A swap is opened with the data in force that day, once at a position."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.ledger.facts import PlaceAt
from equipment.swaps.acts import NewSwap, open_swap
from fleet.house.refusals import Refused
from scheduling.models import Programme, ProgrammeOfAircraft
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


def test_it_has_the_unit_on_record_the_steps_and_the_rules():
    job = swaps.a_job()

    swap = job.open()

    assert (swap.sort, swap.expected_off, swap.planned_on) == ("swap", job.old, job.new)
    assert swap.aircraft == job.aircraft
    assert swap.step_list is not None and swap.step_list.kind == job.old.part_number.kind
    assert swap.rule_set_id


def test_the_same_act_again_gives_the_same_swap():
    job = swaps.a_job()
    act = uuid4()
    new = NewSwap(job.place, job.station.pk, "due")

    first, again = (
        open_swap(by=job.technician, new=new, act_id=act, at=job.tick()) for _ in range(2)
    )

    assert first == again


def test_a_second_one_at_the_position_is_told_who_has_it_open():
    job = swaps.a_job()
    swap = job.open()

    with pytest.raises(Refused, match=f"{job.technician.username} has swap {swap.pk} open") as told:
        job.open(by=job.certifier)

    assert told.value.code == "swap_already_open"


def test_where_nothing_is_recorded_it_is_a_fitting():
    job = swaps.a_job()
    build.removed(job.old, build.SHOP, "2027-05-01")

    assert job.open().sort == "fitting"


def test_the_part_numbers_own_steps_come_before_the_kinds():
    job = swaps.a_job()
    own = swaps.a_step_list(job.old.part_number.kind, swaps.SHORT, part=job.old.part_number)

    assert job.open().step_list == own


def test_a_list_revised_later_does_not_change_an_open_swap():
    job = swaps.a_job()
    swap = job.open()
    kind = job.old.part_number.kind
    later = swaps.a_step_list(kind, swaps.SHORT, from_on=build.day("2027-05-30"))

    swap.refresh_from_db()
    other = swaps.a_job(kind=kind)

    assert swap.step_list != later
    assert other.open().step_list == later


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"reason": " "}, "missing"),
        ({"reason": "x" * 201}, "too_long"),
        ({"sort": "exchange"}, "unknown_sort"),
        ({"station_id": 0}, "unknown_station"),
        ({"planned_on_id": 0}, "unknown_unit"),
        ({"donor_of_id": 0}, "unknown_swap"),
        ({"place": 0}, "unknown_place"),
        ({"place": PlaceAt("shop", name="A shop")}, "unknown_place"),
        ({"due_item": 2**70}, "unknown_due_item"),
    ],
)
def test_what_cannot_be_is_refused_by_name(change, code):
    job = swaps.a_job()

    with pytest.raises(Refused) as told:
        job.open(**change)

    assert told.value.code == code


def test_without_steps_or_rules_nothing_is_begun():
    job = swaps.a_job()
    other = build.an_aircraft()

    with pytest.raises(Refused) as told:
        job.open(place=build.at_position(other))

    assert told.value.code == "no_step_list"


def test_an_auditor_opens_nothing():
    job = swaps.a_job()

    with pytest.raises(Refused) as told:
        job.open(by=build.a_person("auditor"))

    assert told.value.code == "not_permitted"


def test_the_rules_are_the_aircrafts_own_then_its_programmes_then_the_houses():
    # AMC4 145.A.48 knows reinspection by the same person, 14 CFR 121.371(c) does not: which holds is
    # the aircraft's matter.
    job = swaps.a_job()
    house = swaps.a_rule_set()
    assert job.open().rule_set == house

    second = swaps.a_job()
    programme = Programme.objects.create(code="QP-121", name="Part 121", revision="1")
    ProgrammeOfAircraft.objects.create(
        aircraft=second.aircraft, programme=programme, from_on=swaps.EVER, recorded_at=build.NOW
    )
    by_programme = swaps.a_rule_set(programme="QP-121")
    assert second.open().rule_set == by_programme

    third = swaps.a_job()
    own = swaps.a_rule_set(aircraft=third.aircraft)
    assert third.open().rule_set == own
    assert swaps.a_job().open().rule_set == house
