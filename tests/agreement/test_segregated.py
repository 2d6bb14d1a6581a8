"""Segregation means what it says: what may not be used is not set aside, issued or fitted, by any door.

The code of a state and an act is the same at every door. Truth first all the same: what a person says
did happen (a movement, a card) is kept, does not conform or is not released, and says why under the
same code; the loader refuses such a line, for it can be mended and brought again; and a history from
before is loaded whatever became of the unit since.
"""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.db import IntegrityError
from django.utils import timezone

from equipment.keeping.correct import correct_movement
from equipment.ledger.facts import MovementFact
from equipment.models import Movement, Unit
from fleet.house.desks import ROLES
from fleet.intake.registry import kinds
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.stores.world import certified
from tests.sweeps import by_turns

from .segregated_doors import DOORS, is_on, line_of, loaded
from .segregated_stage import EVERY_CODE, GOOD, NOON, STATES, a_stage

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def noon(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def programs(program):  # noqa: F811
    """The programs of every role, made before anything that is undone."""
    for role, _ in ROLES:
        program(role)
    return program


@pytest.mark.sweep
@pytest.mark.parametrize("state", STATES)
def test_it_is_refused_under_the_same_code_at_every_door(state, programs):
    stage = a_stage(state)

    for act, code in STATES[state][1].items():
        for door, come_through in by_turns(list(DOORS[act].items()), list(STATES).index(state), 3):
            with build.undone():
                found = come_through(stage, programs)
                assert found & EVERY_CODE == {code}, (act, door, found)


def test_a_good_unit_goes_through_every_door(programs):
    stage = a_stage(GOOD)

    for doors in DOORS.values():
        for door, come_through in doors.items():
            with build.undone():
                assert come_through(stage, programs) == set(), door


@pytest.mark.parametrize("state", STATES)
def test_a_history_from_before_is_loaded_whatever_became_of_the_unit(state, program):  # noqa: F811
    stage = a_stage(state)
    story = [
        line_of(stage, "installed", "2027-03-15", stage.empty),
        line_of(stage, "removed", "2027-04-01"),
    ]

    assert loaded(program, story) == set()
    assert [each.sort for each in Movement.objects.of_unit(stage.spare)][1:3] == [
        "installed",
        "removed",
    ]


def test_what_came_back_from_a_shop_by_the_same_load_is_fitted(program):  # noqa: F811
    stage = a_stage("at a shop without an order")
    story = [
        line_of(stage, "returned", "2027-05-25"),
        line_of(stage, "installed", "2027-05-26", stage.empty),
    ]

    assert loaded(program, story) == set()
    assert is_on(stage, stage.empty)


def test_a_history_that_contradicts_what_was_known_then_is_not_loaded(program):  # noqa: F811
    stage = a_stage("on hold")
    # Held since 5 May and fitted the day after, as told in August.
    with time_machine.travel("2027-08-01 12:00:00+00:00", tick=False):
        found = loaded(program, [line_of(stage, "installed", "2027-05-06", stage.empty)])

    assert found == {"unit_on_hold"}


def test_a_unit_that_the_load_itself_brings_comes_with_its_history(program):  # noqa: F811
    stage = a_stage(GOOD)
    named = {"Part number": stage.spare.part_number.number, "Serial number": "N77"}
    fitted = line_of(stage, "installed", "2027-05-20", stage.empty) | named

    assert loaded(program, [fitted], units=[named]) == set()
    assert Unit.objects.get(serial_number="N77").aircraft == stage.empty


def test_what_a_person_says_happened_is_kept_until_the_reason_is_cured(program):  # noqa: F811
    stage = a_stage("without a certificate")
    DOORS["fit"]["API, a movement"](stage, program)
    kept = Movement.objects.nonconforming().get()

    certified(stage.spare)
    correct_movement(
        by=build.a_person("controller"),
        movement_id=kept.pk,
        act_id=uuid4(),
        at=timezone.now(),
        fact=MovementFact(stage.spare.pk, "installed", kept.to_place_id, build.on("2027-06-01")),
    )

    assert is_on(stage, stage.empty)
    assert not Movement.objects.nonconforming().exists()


def test_no_sheet_sets_aside_or_issues():
    """A door that is not there needs no refusal; one that is made joins the table above."""
    assert not {kind.act for kind in kinds()} & {"reserve_unit", "issue_unit"}


def test_one_unit_has_one_reservation_so_none_is_issued_that_is_set_aside_for_another():
    stage = a_stage("set aside for another")

    with pytest.raises(IntegrityError, match="a_unit_is_reserved_for_one_need"):
        stage.set_aside(stage.aircraft)
