"""The clerk's day judges only units of which something is said: whoever the one rule would show is among them."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.models import Unit
from equipment.segregation.doubted import doubted_among
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import why_not_use
from fleet.house.pages import today
from scheduling.models import RecomputeRun
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.equipment.stores.world import certified

from .segregated_stage import GOOD, IN_MAY, NOON, STATES, Stage, a_stage, held, tagged

pytestmark = pytest.mark.django_db
#: What makes a clerk look at a unit in stock.
SEEN = {"unit_quarantined", "unit_unserviceable", "unit_on_hold", "unit_expired"}


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(NOON, tick=False):
        yield


def reckoned() -> None:
    recompute_all(as_of=today(), now=timezone.now())


def codes(unit: Unit) -> set[str]:
    use = uses_of([unit.pk], Asked(today(), timezone.now()))[unit.pk]
    return {each.code for each in why_not_use(use)}


def spared(state: str) -> Unit:
    return Unit.objects.select_related("place").get(pk=a_stage(state).spare.pk)


@pytest.mark.parametrize("state", [GOOD, *STATES])
def test_a_unit_in_each_state_is_named_where_the_rule_would_show_it(state):
    unit = spared(state)
    reckoned()

    found = doubted_among([unit.pk], today())

    if codes(unit) & SEEN:
        assert found == {unit.pk}
    elif unit.place.sort == "store":
        assert found == set()


def by_lot(stage: Stage) -> None:
    Unit.objects.filter(pk=stage.spare.pk).update(serial_number="Batch 7b")
    stage.spare.part_number.is_lot = True
    stage.spare.part_number.save()
    held("lot", value="BATCH 7B")(stage)


def by_split(stage: Stage) -> None:
    lot = build.a_unit(stage.spare.part_number, serial_number="LOT-9")
    Unit.objects.filter(pk=stage.spare.pk).update(split_from=lot)
    stage.spare.part_number.is_lot = True
    stage.spare.part_number.save()
    held("lot", value="lot-9")(stage)


def by_certificate(stage: Stage) -> None:
    certified(stage.spare, "c-77x")
    held("certificate", value="C-77X")(stage)


def by_one_merged(stage: Stage) -> None:
    other = build.a_unit(stage.spare.part_number)
    new = NewHold("unit", "papers", "No stamp", unit_id=other.pk)
    hold_units(by=build.a_person("stores"), hold=new, act_id=uuid4(), at=IN_MAY)
    Unit.objects.filter(pk=other.pk).update(merged_into=stage.spare)


def by_tag_of_one_merged(stage: Stage) -> None:
    other = build.a_unit(stage.spare.part_number)
    tagged(other)
    Unit.objects.filter(pk=other.pk).update(merged_into=stage.spare)


@pytest.mark.parametrize(
    "become", [by_lot, by_split, by_certificate, by_one_merged, by_tag_of_one_merged]
)
def test_what_is_said_by_another_number_or_record_names_it_too(become):
    stage = a_stage(GOOD)
    reckoned()
    assert doubted_among([stage.spare.pk], today()) == set()

    become(stage)

    assert codes(stage.spare) & SEEN
    assert doubted_among([stage.spare.pk], today()) == {stage.spare.pk}


def test_without_a_list_of_the_day_every_unit_is_looked_at():
    unit = spared(GOOD)
    reckoned()
    RecomputeRun.objects.update(as_of=build.day("2027-05-31"))

    assert doubted_among([unit.pk], today()) == {unit.pk}


def test_facts_that_changed_since_the_list_was_made_name_it():
    unit = spared(GOOD)
    reckoned()
    Unit.objects.filter(pk=unit.pk).update(facts_stamp=10**9)

    assert doubted_among([unit.pk], today()) == {unit.pk}


def test_many_units_are_as_many_questions_as_one():
    stage = a_stage(GOOD)
    held("supplier", value="Nobody Parts")(stage)
    units = [stage.spare, *(stage.fleet.a_spare() for _ in range(4))]
    reckoned()

    def questions(keys):
        with CaptureQueriesContext(connection) as asked:
            doubted_among(keys, today())
        return len(asked)

    assert questions([unit.pk for unit in units]) == questions([units[0].pk]) <= 6
