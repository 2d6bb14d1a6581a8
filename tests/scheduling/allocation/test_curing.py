"""Cures as pages and API offer them: solved anew with all that moves, and never past what else is due."""

from __future__ import annotations

import pytest

from scheduling.allocation.reads.curing import short_needs
from scheduling.models import DueItem, Work
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.scheduling import rules as on

from . import world as here

pytestmark = pytest.mark.django_db


def sorts(run):
    return [cure.sort for _, cures in short_needs(run) for cure in cures]


def a_unit_six_days_late(world):
    """In a store from which it is there on 11 July; the check is on the 5th, and the slide lasts until 1 August."""
    world.a_spare(world.outstation)
    here.a_way(world.outstation, world.base, days=(here.JULY - here.DAY).days + 6)


def test_the_unit_that_comes_off_there_cures_nothing():
    """Its shop takes ten days, and could be quicker by ten; the check could move by three weeks."""
    world = here.a_world(planes=1)
    here.a_rule_of_stock(turn_days=10, hurry_days=10)

    assert sorts(world.propose()) == []


def test_a_check_may_move_where_nothing_else_is_due_by_then():
    world = here.a_world(planes=1)
    a_unit_six_days_late(world)

    assert sorts(world.propose()) == ["lend", "move_check"]


def test_a_check_does_not_move_past_what_else_is_due_on_the_aircraft():
    """An inspection in place is due on 8 July: moved to the 11th, the check would come too late for it."""
    world = here.a_world(planes=1)
    a_unit_six_days_late(world)
    runs = on.Runs("days", [(1071, "first")], {"counts_from": "manufacture"})
    on.a_rule("SLIDE-LOOK", runs, work="LOOK", kind=build.a_kind("SLIDE"))
    Work.objects.filter(code="LOOK").update(is_done_in_place=True)
    run = world.propose()

    assert DueItem.objects.filter(due_on=build.day("2027-07-08")).exists()
    assert sorts(run) == ["lend"]


def test_by_page_and_by_api_it_is_the_same(client, program):  # noqa: F811
    world = here.a_world(planes=1)
    a_unit_six_days_late(world)
    world.propose()
    [family] = program("controller").get("/api/v1/allocation/shortage").json()["results"]
    client.force_login(world.clerk)
    said = client.get("/shortage/").content.decode()

    [short] = family["short"]
    for cure in short["cures"]:
        assert cure["sentence"] in said
