"""An act sent again under its id, whatever happened since: two at one moment, another role, an older version."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import partial
from uuid import uuid4

import pytest

from equipment.availability.acts.fillings import Use, record_filling
from equipment.availability.acts.holds import NewHold, hold_units
from equipment.availability.acts.reservations import reserve_unit
from equipment.availability.acts.tags import tag_unit
from equipment.findings.acts.open_items import Opening, open_item
from equipment.findings.acts.robbing import rob_unit
from equipment.models import Certificate, Filling, Hold, OpenItem, Reservation, UnitTag
from equipment.stores.acts.inside import FoundInside, note_inside
from equipment.swaps.acts import TagFact
from equipment.units.acts.lots import split_lot
from fleet.acts.repeats import done_now
from fleet.house.refusals import Refused
from fleet.models import Act
from tests import builders as build
from tests.api.other_content import on_record
from tests.at_once import people
from tests.builders_swaps import a_job

HOLD = NewHold("supplier", "unapproved", "Odd stamps.", "Tidewater")
TORN, CUT = (TagFact("unserviceable", "defect", words) for words in ("Torn.", "Cut."))
OPENING = Opening("QMEL 25-60-1", "Vest missing.", build.day("2027-05-30"), build.day("2027-06-30"))


def told(act, **more):
    """The code that the act refused with; nothing if it was done."""
    try:
        act(**more)
    except Refused as refused:
        return refused.code
    return ""


def two_ways(name):
    """(the act, what else could be said in it, the table of its rows)."""
    by, line = build.a_person("controller", "stores", "technician"), a_line_of_units()
    unit, aircraft, place = line
    acts = {
        "tag": (
            tag_unit,
            {"unit_id": unit.pk, "tag": TORN, "tagged_at": build.NOW},
            {"tag": CUT},
            UnitTag,
        ),
        "hold": (hold_units, {"hold": HOLD}, {"hold": replace(HOLD, words="Odd.")}, Hold),
        "open item": (
            open_item,
            {"opening": OPENING, "aircraft_id": aircraft.pk},
            {"opening": replace(OPENING, words="Two vests missing.")},
            OpenItem,
        ),
        "filling": (
            record_filling,
            {"unit_id": unit.pk, "use": Use(build.day("2027-05-30"))},
            {"use": Use(build.day("2027-05-31"))},
            Filling,
        ),
        "reservation": (
            reserve_unit,
            {"unit_id": unit.pk, "place": place, "need_on": build.day("2027-06-30")},
            {"need_on": build.day("2027-06-29")},
            Reservation,
        ),
    }
    act, said, other, model = acts[name]
    return partial(act, by=by, act_id=uuid4(), at=build.NOW, **said), other, model


def a_line_of_units():
    aircraft = build.an_aircraft("D1L-SLIDE")
    unit = build.a_unit()
    build.moved(unit, "received", build.in_store(build.a_station()), "2027-03-01")
    Certificate.objects.create(
        unit=unit,
        form="Form 1",
        tracking_number="C-1",
        issued_on=build.day("2027-02-20"),
        issuer="Shop",
        status="New",
        recorded_at=build.NOW,
    )
    return unit, aircraft, build.at_position(aircraft)


EVERY = ["tag", "hold", "open item", "filling", "reservation"]


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", EVERY)
def test_of_two_at_one_moment_the_same_is_done_once(name):
    with people() as both:
        for _ in range(5):
            act, _other, model = two_ways(name)
            before = model.objects.count()

            codes = both(partial(told, act), partial(told, act))

            assert codes == ["", ""]
            assert model.objects.count() == before + 1


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", EVERY)
def test_of_two_at_one_moment_who_says_something_else_is_refused(name):
    with people() as both:
        for _ in range(5):
            act, other, model = two_ways(name)
            before = model.objects.count()

            codes = both(partial(told, act), partial(told, act, **other))

            assert sorted(codes) == ["", "act_id_used"]
            assert model.objects.count() == before + 1


@pytest.mark.django_db
def test_whoever_may_not_do_it_any_more_is_told_so_first():
    act, _other, _model = two_ways("tag")
    act()
    by = act.keywords["by"]
    by.roles = ["auditor"]

    assert told(act) == "not_permitted"


@pytest.mark.django_db
def test_somebody_else_who_sends_the_same_is_answered_by_what_was_done():
    act, _other, model = two_ways("tag")
    first = act()

    again = act(by=build.a_person("stores"), at=build.NOW + timedelta(hours=1))

    assert (again, model.objects.count()) == (first, 1)


@pytest.mark.django_db
def test_a_refused_act_leaves_its_id_free():
    act, other, model = two_ways("hold")
    assert told(act, hold=replace(HOLD, why="nothing")) == "unknown_reason"

    act(**other)

    assert model.objects.count() == 1


@pytest.mark.django_db
@pytest.mark.parametrize("name", EVERY)
def test_what_an_older_version_recorded_counts_as_the_same_and_is_not_done_again(name, as_owner):
    act, other, model = two_ways(name)
    first = act()
    with as_owner():
        Act.objects.all().delete()
    then = on_record()

    again, changed = act(), act(**other)

    assert again == first and changed == first
    assert (model.objects.count(), on_record()) == (1, then)
    assert not done_now(act.keywords["act_id"], act.func.__name__, build.NOW)


@pytest.mark.django_db
def test_an_id_of_one_act_is_not_taken_for_another_that_writes_the_same_rows():
    job = a_job()
    job.open()
    act = uuid4()
    job.take_off(act_id=act)

    assert told(job.put_on, act_id=act) == "act_id_used"


# --- acts that have no door of the API --------------------------------------------------------


def a_robbery():
    job = a_job()
    job.open()
    donor = a_job(kind=job.old.part_number.kind, tools=job.tools)
    said = {
        "for_swap_id": job.swap.pk,
        "donor_place": donor.place,
        "unit_id": donor.old.pk,
        "when": build.on("2027-05-31"),
        "opening": OPENING,
    }
    return rob_unit, job.certifier, said, {"opening": replace(OPENING, effect="Door blocked.")}


def a_split():
    lot = build.a_unit(build.a_part(is_lot=True), quantity=10)
    build.moved(lot, "received", build.in_store(build.a_station()), "2027-03-01", quantity=10)
    said = {
        "unit_id": lot.pk,
        "quantity": 4,
        "serial_number": "B-2",
        "when": build.on("2027-05-31"),
    }
    by = build.a_person("stores")
    return split_lot, by, said, {"quantity": 3, "serial_number": "B-3", "document": "Q-1"}


def a_light_inside():
    light = build.a_kind("LIGHT")
    part = build.a_part()
    position = part.positions.create(code="LIGHT", name="Light unit", kind=light)
    build.a_part("LU-9", kind=light)
    slide = build.a_unit(part)
    build.moved(slide, "received", build.in_store(build.a_station()), "2027-03-01")
    found = FoundInside(slide.pk, position.pk, "LU-9", "L77")
    other = {"found": replace(found, stated_life_months=96)}
    return note_inside, build.a_person("stores"), {"found": found}, other


NO_DOOR = {each.__name__: each for each in (a_robbery, a_split, a_light_inside)}
OF_A_REMOVAL = {"when": build.on("2027-05-30"), "minutes": 9, "cycles": 9, "log_page": "QL-1"}


@pytest.mark.django_db
@pytest.mark.parametrize("name", NO_DOOR)
def test_an_act_of_a_page_alone_keeps_to_the_rule(name):
    act, by, said, others = NO_DOOR[name]()
    others |= OF_A_REMOVAL if name == "a_robbery" else {}
    call = partial(act, by=by, act_id=uuid4(), at=build.NOW, **said)

    first = call()
    then = on_record()
    again = call()

    assert _kept(again) == _kept(first)
    assert [told(call, **{name: value}) for name, value in others.items()] == ["act_id_used"] * len(
        others
    )
    assert on_record() == then


def _kept(done):
    return [each.movement_id for each in done] if isinstance(done, list) else done
