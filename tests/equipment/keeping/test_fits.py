"""Whether a part may go there on that day: the other side, the position's state, its kind."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.keeping.correct import reconcile_movements
from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, RowsRefused
from equipment.models import Movement
from fleet.models import AircraftPosition, PositionState
from tests import builders as build

pytestmark = pytest.mark.django_db
SIDES = {"L": ("left", -180), "R": ("right", 180)}


def codes(done):
    return [reason.code for reason in done.reasons]


def an_aircraft_with_two_sides(*positions):
    """Overwing places left and right, and a door each further aft on the left."""
    aircraft = build.an_aircraft(*(positions or ("OWL", "OWR", "D4L")))
    for position in aircraft.aircraft_type.positions.all():
        position.side, position.y_cm = SIDES[position.code[-1]]
        position.x_cm = 900 if position.code[0] == "D" else 500
        position.save()
    return aircraft


def listed(part, aircraft, *positions, condition="both_sides_same"):
    for position in positions:
        build.a_fit(part, aircraft, position, condition=condition, document="QBR-IPC 25-66")


def two_parts_for_both_sides():
    aircraft, one, other = an_aircraft_with_two_sides(), build.a_part("OW-1"), build.a_part("OW-2")
    for part in (one, other):
        listed(part, aircraft, "OWL", "OWR", "D4L")
    return aircraft, one, other


def stated(aircraft, code, state, from_on, document="VAR-MEL 52-22-01"):
    position = AircraftPosition.objects.get(aircraft=aircraft, type_position__code=code)
    PositionState.objects.create(
        position=position,
        state=state,
        from_on=build.day(from_on),
        document=document,
        recorded_at=build.NOW,
    )


# --- both sides the same ------------------------------------------------------------------------


def test_another_part_than_on_the_other_side_is_kept_and_told_which_unit_differs():
    aircraft, one, other = two_parts_for_both_sides()
    right = build.a_unit(one)
    build.installed(right, build.at_position(aircraft, "OWR"), "2027-03-01")

    done = build.installed(build.a_unit(other), build.at_position(aircraft, "OWL"), "2027-03-03")

    assert codes(done) == ["sides_differ"]
    assert f"{right} at {aircraft} OWR" in done.reasons[0].message
    assert "QBR-IPC 25-66" in done.reasons[0].message


def test_a_sheet_with_another_part_than_on_the_other_side_is_refused():
    aircraft, one, other = two_parts_for_both_sides()
    build.installed(build.a_unit(one), build.at_position(aircraft, "OWR"), "2027-03-01")

    with pytest.raises(RowsRefused) as refused:
        build.installed(
            build.a_unit(other), build.at_position(aircraft, "OWL"), "2027-03-03", is_strict=True
        )

    assert refused.value.code == "sides_differ"


def test_the_same_part_on_the_other_side_or_none_is_good():
    aircraft, one, _ = two_parts_for_both_sides()

    first = build.installed(build.a_unit(one), build.at_position(aircraft, "OWR"), "2027-03-01")
    second = build.installed(build.a_unit(one), build.at_position(aircraft, "OWL"), "2027-03-03")

    assert (codes(first), codes(second)) == ([], [])


def test_a_position_with_nothing_across_from_it_has_no_other_side():
    aircraft, one, other = two_parts_for_both_sides()
    build.installed(build.a_unit(one), build.at_position(aircraft, "OWR"), "2027-03-01")

    done = build.installed(build.a_unit(other), build.at_position(aircraft, "D4L"), "2027-03-03")

    assert codes(done) == []


@pytest.mark.parametrize(("is_two_way", "found"), [(True, []), (False, ["sides_differ"])])
def test_the_same_is_what_may_stand_for_the_other_both_ways(is_two_way, found):
    aircraft, one, other = two_parts_for_both_sides()
    one.alternates.create(alternate=other, is_two_way=is_two_way)
    build.installed(build.a_unit(one), build.at_position(aircraft, "OWR"), "2027-03-01")

    done = build.installed(build.a_unit(other), build.at_position(aircraft, "OWL"), "2027-03-03")

    assert codes(done) == found


def test_a_fit_without_the_condition_asks_nothing_of_the_other_side():
    aircraft, one, _ = two_parts_for_both_sides()
    free = build.a_part()
    listed(free, aircraft, "OWL", condition="")
    build.installed(build.a_unit(one), build.at_position(aircraft, "OWR"), "2027-03-01")

    done = build.installed(build.a_unit(free), build.at_position(aircraft, "OWL"), "2027-03-03")

    assert codes(done) == []


def both_sides_changed(aircraft, part, off, left_at, right_at):
    """Removals and installations of both sides, as rows of one call."""
    rows = []
    for unit, code, when in zip(off, ("OWL", "OWR"), (left_at, right_at), strict=True):
        rows.append(MovementFact(unit.pk, "removed", build.SHOP, build.on(when)))
        to = build.at_position(aircraft, code)
        rows.append(MovementFact(build.a_unit(part).pk, "installed", to, build.on(when)))
    return rows


@pytest.mark.parametrize(
    ("left_at", "right_at", "found"),
    [
        ("2027-04-01", "2027-04-01", set()),
        ("2027-04-01 22:00", "2027-04-02 03:00", set()),
        ("2027-04-01", "2027-04-02", {"sides_differ"}),
    ],
)
def test_both_sides_changed_in_one_job_never_differ_but_a_day_apart_they_do(
    left_at, right_at, found
):
    aircraft, one, other = two_parts_for_both_sides()
    off = [build.a_unit(one), build.a_unit(one)]
    for unit, code in zip(off, ("OWL", "OWR"), strict=True):
        build.installed(unit, build.at_position(aircraft, code), "2027-03-01")

    done = record_movements(
        by=build.a_person(),
        rows=both_sides_changed(aircraft, other, off, left_at, right_at),
        act_id=uuid4(),
        at=build.NOW,
    )

    assert {code for each in done for code in codes(each)} == found


def test_the_side_changed_first_is_taken_up_again_when_the_other_is_changed():
    aircraft, one, other = two_parts_for_both_sides()
    right, person = build.a_unit(one), build.a_person()
    build.installed(right, build.at_position(aircraft, "OWR"), "2027-03-01")
    early = build.installed(
        build.a_unit(other), build.at_position(aircraft, "OWL"), "2027-04-01 10:00"
    )
    build.removed(right, build.SHOP, "2027-04-01 11:00")
    build.installed(build.a_unit(other), build.at_position(aircraft, "OWR"), "2027-04-01 12:00")

    reconcile_movements(by=person, movement_ids=[early.movement_id], act_id=uuid4(), at=build.NOW)

    assert not Movement.objects.nonconforming().exists()


def test_a_late_fact_is_judged_by_who_came_to_the_other_side_since():
    aircraft, one, other = two_parts_for_both_sides()
    build.installed(build.a_unit(one), build.at_position(aircraft, "OWR"), "2027-04-01")

    done = build.installed(build.a_unit(other), build.at_position(aircraft, "OWL"), "2027-03-01")

    assert codes(done) == ["sides_differ"]


# --- the position on that day -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("state", "code", "words"),
    [
        (
            "absent",
            "position_absent",
            "is not on this aircraft since 2 Mar 2027 (VAR-MEL 52-22-01)",
        ),
        ("deactivated", "position_deactivated", "deactivated since 2 Mar 2027 (VAR-MEL 52-22-01)"),
    ],
)
def test_a_position_that_is_not_in_use_takes_nothing_from_that_day(state, code, words):
    aircraft = build.an_aircraft()
    stated(aircraft, "D1L-SLIDE", state, "2027-03-02")
    to = build.at_position(aircraft)

    before, after = (
        build.installed(build.a_unit(), to, "2027-03-01"),
        build.installed(build.a_unit(), to, "2027-03-02"),
    )

    assert codes(before) == []
    assert code in codes(after)
    assert words in after.reasons[0].message


def test_a_position_made_active_again_takes_units_again():
    aircraft = build.an_aircraft()
    stated(aircraft, "D1L-SLIDE", "deactivated", "2027-03-02")
    stated(aircraft, "D1L-SLIDE", "active", "2027-03-05")

    done = build.installed(build.a_unit(), build.at_position(aircraft), "2027-03-05")

    assert codes(done) == []


def test_a_sheet_is_refused_at_a_deactivated_position():
    aircraft = build.an_aircraft()
    stated(aircraft, "D1L-SLIDE", "deactivated", "2027-03-02")

    with pytest.raises(RowsRefused) as refused:
        build.installed(build.a_unit(), build.at_position(aircraft), "2027-03-03", is_strict=True)

    assert refused.value.code == "position_deactivated"


# --- the kind, where nothing is listed ----------------------------------------------------------


def test_where_nothing_is_listed_only_a_part_of_the_positions_kind_goes():
    aircraft = build.an_aircraft(of_type=build.an_aircraft_type("D1L", kind=build.a_kind("slide")))
    to = build.at_position(aircraft, "D1L")

    vest = build.installed(build.a_unit(build.a_part(kind=build.a_kind("vest"))), to, "2027-03-01")
    slide = build.installed(
        build.a_unit(build.a_part(kind=build.a_kind("slide"))), to, "2027-03-02"
    )

    assert (codes(vest), codes(slide)) == (["kind_differs"], [])
    assert "of the kind “vest”" in vest.reasons[0].message
    assert "is for “slide”" in vest.reasons[0].message


def test_inside_a_unit_only_a_part_of_the_inner_positions_kind_goes():
    slide = build.a_unit(build.a_part("", "LIGHT"))

    done = build.installed(
        build.a_unit(build.a_part(kind=build.a_kind("bottle"))), build.inside(slide), "2027-03-01"
    )

    assert codes(done) == ["kind_differs"]


def test_what_is_listed_goes_whatever_its_kind():
    aircraft, part = build.an_aircraft(), build.a_part(kind=build.a_kind("vest"))
    build.a_fit(part, aircraft, "D1L-SLIDE")

    done = build.installed(build.a_unit(part), build.at_position(aircraft), "2027-03-01")

    assert codes(done) == []
