"""Two people at the same moment, on a real database: one wins, the other is told by the rule."""

from __future__ import annotations

import sys
import time
from functools import partial
from statistics import median
from uuid import uuid4

import pytest

from equipment.keeping.record import record_movements
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.facts import MovementFact, RowsRefused, UnitFact
from equipment.models import Movement, Stay
from equipment.units.acts.units import enter_units
from tests import builders as build
from tests.at_once import people
from tests.sweeps import many

pytestmark = [pytest.mark.slow, pytest.mark.sweep, pytest.mark.django_db(transaction=True)]
ROUNDS, MANY_ROUNDS = many(12, 6), many(200, 40)


@pytest.fixture
def at_once(transactional_db):
    """The codes with which each act was refused, or an empty list: all begin at the same moment."""

    def told(act):
        try:
            act()
        except RowsRefused as refused:
            assert refused.__cause__ is None, "told by the constraint, not by the rule"
            return [refusal.code for refusal in refused.refusals]
        return []

    with people() as both:
        yield lambda *acts: sorted(both(*(partial(told, act) for act in acts)))


def installing(by, unit, to, when="2027-03-03"):
    fact = MovementFact(unit.pk, "installed", to, build.on(when))
    return lambda: record_movements(
        by=by, rows=[fact], act_id=uuid4(), at=build.NOW, is_strict=True
    )


def test_one_position_for_two_units_goes_to_one(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        aircraft = build.an_aircraft("D1L-SLIDE")
        to = build.at_position(aircraft)

        told = at_once(installing(by, build.a_unit(), to), installing(by, build.a_unit(), to))

        assert told == [[], ["position_full"]]


def test_one_unit_for_two_positions_goes_to_one(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        aircraft, slide = build.an_aircraft("D1L", "D1R"), build.a_unit()
        left, right = build.at_position(aircraft, "D1L"), build.at_position(aircraft, "D1R")

        told = at_once(installing(by, slide, left), installing(by, slide, right, when="2027-03-04"))

        # The later day finds it fitted; the earlier day comes before it and is told of nothing.
        assert told in ([[], ["unit_recorded_elsewhere"]], [[], []])
        assert list(check_whereabouts()) == []


def test_the_last_place_of_a_bin_goes_to_one(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        aircraft = build.an_aircraft("BIN", capacity=2)
        to = build.at_position(aircraft, "BIN")
        build.installed(build.a_unit(), to, "2027-03-01", by=by)

        told = at_once(installing(by, build.a_unit(), to), installing(by, build.a_unit(), to))

        assert told == [[], ["position_full"]]


def test_two_nestings_at_once_never_make_a_loop(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        one, other = (build.a_unit(build.a_part("", "LIGHT")) for _ in range(2))

        told = at_once(
            installing(by, one, build.inside(other)), installing(by, other, build.inside(one))
        )

        assert told == [[], ["inside_itself"]]


def test_what_goes_inside_while_the_outer_one_moves_is_on_the_aircraft(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        aircraft = build.an_aircraft("D1L-SLIDE")
        slide, light = build.a_unit(build.a_part("", "LIGHT")), build.a_unit()

        told = at_once(
            installing(by, slide, build.at_position(aircraft), when="2027-03-04"),
            installing(by, light, build.inside(slide)),
        )

        light.refresh_from_db()
        assert told == [[], []]
        assert light.aircraft == aircraft
        assert list(check_whereabouts()) == []


def test_the_same_act_twice_at_once_is_done_once(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        slide, act = build.a_unit(), uuid4()
        fact = MovementFact(
            slide.pk, "installed", build.at_position(build.an_aircraft()), build.on("2027-03-03")
        )

        def doing(fact=fact, act=act):
            record_movements(by=by, rows=[fact], act_id=act, at=build.NOW, is_strict=True)

        assert at_once(doing, doing) == [[], []]
        assert Movement.objects.filter(unit=slide).count() == 1
        assert Stay.objects.filter(unit=slide).count() == 1


def what_became_of(by, unit, to, *, is_strict):
    """The code against an installation, empty if it conforms."""
    fact = MovementFact(unit, "installed", to, build.on("2027-03-03"))
    try:
        (done,) = record_movements(
            by=by, rows=[fact], act_id=uuid4(), at=build.NOW, is_strict=is_strict
        )
    except RowsRefused as refused:
        return refused.code
    return "".join(reason.code for reason in done.reasons)


def test_one_unit_at_two_positions_conforms_at_one_in_every_one_of_many_rounds():
    by, part = build.a_person("controller"), build.a_part()
    codes = [f"P{i}" for i in range(2 * MANY_ROUNDS)]
    aircraft = build.an_aircraft(*codes)
    to = [build.at_position(aircraft, code) for code in codes]
    facts = [UnitFact(original_part_id=part.pk, serial_number=str(i)) for i in range(MANY_ROUNDS)]
    units = [entered.id for entered in enter_units(by=by, rows=facts, at=build.NOW)]
    took = []

    def run(number, side):
        begun = time.perf_counter()
        code = what_became_of(
            by, units[number], to[2 * number + side], is_strict=number % 2 == side
        )
        took.append((time.perf_counter() - begun) * 1000)
        return code

    with people() as both:
        rounds = [both(partial(run, n, 0), partial(run, n, 1)) for n in range(MANY_ROUNDS)]

    sys.stdout.write(f"one unit, two positions: {median(took):.0f} ms, at most {max(took):.0f}\n")
    assert {tuple(sorted(told)) for told in rounds} == {("", "unit_recorded_elsewhere")}
    assert Stay.objects.count() == MANY_ROUNDS
    assert list(check_whereabouts()) == []


def test_two_sides_that_must_be_the_same_do_not_become_different_at_once(at_once):
    by = build.a_person("controller")
    for _ in range(ROUNDS):
        aircraft, parts = build.an_aircraft("OWL", "OWR"), (build.a_part(), build.a_part())
        for position, side in zip(
            aircraft.aircraft_type.positions.all(), ("left", "right"), strict=True
        ):
            position.side = side
            position.save()
            for part in parts:
                build.a_fit(part, aircraft, position.code, condition="both_sides_same")
        left, right = (build.at_position(aircraft, code) for code in ("OWL", "OWR"))

        told = at_once(
            installing(by, build.a_unit(parts[0]), left),
            installing(by, build.a_unit(parts[1]), right),
        )

        assert told == [[], ["sides_differ"]]
