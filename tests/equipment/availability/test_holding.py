from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.availability.acts.holds import NewHold, end_hold, hold_units
from equipment.models import Discrepancy, Hold, Reservation
from equipment.segregation.facts import Asked, uses_of
from fleet.models import Notice
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, certified, code_of, set_aside

pytestmark = pytest.mark.django_db


def held(scope="certificate", value="C-7", by=None, **more):
    facts = {"why": "unapproved", "words": "Forged stamps.", "value": value}
    return hold_units(
        by=by or build.a_person("stores"),
        hold=NewHold(scope, **facts | more),
        act_id=uuid4(),
        at=AT,
    )


def holds_of(unit):
    return uses_of([unit.pk], Asked(TODAY, AT))[unit.pk].holds


def a_unit_of_certificate(number="C-7", **more):
    unit = a_stocked_unit(has_certificate=False)
    certified(unit, number, **more)
    return unit


def test_every_unit_of_the_certificate_is_held_wherever_it_is_and_no_other():
    spare, fitted, other = (a_unit_of_certificate(n) for n in ("C-7", "C-7", "C-8"))
    aircraft = build.an_aircraft()
    build.installed(fitted, build.at_position(aircraft), "2027-04-01")

    done = held()

    assert done.unit_ids == (spare.pk, fitted.pk)
    assert [bool(holds_of(unit)) for unit in (spare, fitted, other)] == [True, True, False]


def test_a_fitted_one_is_shown_to_the_controller_with_its_aircraft():
    fitted, aircraft = a_unit_of_certificate(), build.an_aircraft()
    build.installed(fitted, build.at_position(aircraft), "2027-04-01")

    done = held()

    shown = Discrepancy.objects.get()
    assert done.discrepancy_ids == (shown.pk,)
    assert (shown.aircraft, shown.recorded_unit, shown.sort) == (aircraft, fitted, "nonconforming")
    assert "suspected unapproved part" in shown.words


@pytest.mark.parametrize(
    ("scope", "value"), [("supplier", "tidewater parts"), ("lot", "BATCH7"), ("unit", "")]
)
def test_a_supplier_a_lot_and_one_unit_are_held_too(scope, value):
    unit = a_stocked_unit(part=build.a_part(is_lot=True), serial_number="BATCH7")
    certified(unit, "C-1", supplier="Tidewater Parts")

    done = held(scope, value, unit_id=unit.pk if scope == "unit" else None)

    assert done.unit_ids == (unit.pk,)
    assert holds_of(unit)


def test_a_slide_is_held_with_the_light_inside_it():
    slide = a_stocked_unit(part=build.a_part("", "LIGHT"))
    light = a_unit_of_certificate()
    build.installed(light, build.inside(slide), "2027-04-01")

    held()

    assert holds_of(slide)


def test_what_was_set_aside_is_freed_and_its_clerk_told():
    unit, clerk = a_unit_of_certificate(), build.a_person("stores")
    set_aside(unit, unit.place_id, clerk)

    held()

    assert Reservation.objects.get().ended_how == "failed"
    assert (
        "is held: suspected unapproved part, Forged stamps." in Notice.objects.get(to=clerk).words
    )


def test_a_paper_ends_it_and_only_once():
    unit, hold = a_unit_of_certificate(), held().hold_id
    ending = {"hold_id": hold, "words": "Maker confirms.", "at": AT, "by": build.a_person()}

    assert code_of(end_hold, **ending, document=" ", act_id=uuid4()) == "missing"
    end_hold(**ending, document="Letter 77", act_id=uuid4())

    assert not holds_of(unit)
    assert code_of(end_hold, **ending, document="Letter 78", act_id=uuid4()) == "hold_ended"


def test_a_clerk_holds_and_does_not_end():
    held_one = (a_unit_of_certificate(), held())[1]

    assert (
        code_of(
            end_hold,
            by=build.a_person("stores"),
            hold_id=held_one.hold_id,
            words="x",
            document="y",
            act_id=uuid4(),
            at=AT,
        )
        == "not_permitted"
    )


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"value": "C-999"}, "nothing_to_hold"),
        ({"value": " "}, "missing"),
        ({"words": ""}, "missing"),
        ({"scope": "fleet"}, "unknown_scope"),
        ({"why": "mood"}, "unknown_reason"),
        ({"scope": "unit"}, "unknown_unit"),
        ({"by": "auditor"}, "not_permitted"),
    ],
)
def test_a_doubt_about_nothing_is_refused(changes, code):
    a_unit_of_certificate()
    person = {"by": build.a_person(changes.pop("by"))} if "by" in changes else {}

    assert code_of(held, **changes, **person) == code
    assert not Hold.objects.exists()
