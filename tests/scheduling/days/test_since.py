"""What changed since yesterday: one item of each sort, why, and by whose record, on the page and by API."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fleet.aircraft.acts.changes import ChangedCheck, change_check
from fleet.models import Check, CheckRecord
from scheduling.due.since.told import since_before
from scheduling.models import ItemBefore
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import a_check, an_aircraft, due_in
from tests.scheduling.rules import DAY, a_rule, done, every, once

pytestmark = pytest.mark.django_db

POSITIONS = ("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE", "D2R-SLIDE", "D3L-SLIDE")
NIGHT = build.NOW - timedelta(hours=11)


@pytest.fixture
def stage():
    """Last night's list; then today: a slide overhauled, one taken to the store, one whose day has passed, one
    whose check was moved, one untouched; a single work done; a limit that begins to apply."""
    with time_machine.travel(build.NOW, tick=False):
        a_rule("SL-OH", every(12), work="OVERHAUL")
        a_rule("SL-MOD", once("months", 40, "2024-06-01"), work="MODIFY", kind=build.a_kind("MODS"))
        craft = an_aircraft(*POSITIONS)
        units = [
            due_in(craft, *each) for each in zip(POSITIONS, (40, 90, -1, 60, 200), strict=True)
        ]
        modified = build.a_unit(
            build.a_part(kind=build.a_kind("MODS")), manufactured_on=date(2024, 1, 1)
        )
        build.moved(modified, "received", build.in_store(craft.station), "2027-03-01")
        a_check(craft, 50, "A1")
        a_check(craft, 150, "A2")
        yesterday = DAY - timedelta(days=1)
        recompute_all(as_of=yesterday, now=NIGHT - timedelta(days=1), why="test")
        recompute_all(as_of=DAY, now=NIGHT, why="test")

        done("OVERHAUL", "2027-05-31", unit_id=units[0].pk)
        build.removed(
            units[1], build.in_store(craft.station), "2027-05-31", by=build.a_person("technician")
        )
        planner = build.a_person("controller")
        first, station = Check.objects.get(name="A1"), craft.station_id
        start, end = DAY + timedelta(days=70), DAY + timedelta(days=72)
        change = ChangedCheck(first.pk, "A1", start, end, station)
        change_check(by=planner, change=change, act_id=uuid4(), at=build.NOW)
        done("MODIFY", "2027-05-31", unit_id=modified.pk)
        looked_at = every(60, first_from="manufacture")
        a_rule("SL-LOOK", looked_at, work="LOOK", kind=build.a_kind("MODS"))
        recompute_all(as_of=DAY, now=build.NOW, why="test")
        yield units, modified


def told(changes):
    return {(one.row.unit_id, one.row.limit): one.why for one in changes}


def test_one_of_each_sort_with_its_reason_and_who_recorded_it(stage):
    units, modified = stage

    with CaptureQueriesContext(connection) as asked:
        since = since_before(DAY, 50)

    assert len(asked) <= 34  # names of two lists' rows, and one for each sort of record
    assert (since.on, since.at) == (DAY - timedelta(days=1), NIGHT)
    assert told(since.gone) == {(modified.pk, "SL-MOD"): "done, or its limit ended"}
    moved = told(since.moved)
    assert moved == {
        (units[0].pk, "SL-OH"): "work recorded: counted from 31 May 2027",
        (units[1].pk, "SL-OH"): moved[units[1].pk, "SL-OH"],
        (units[2].pk, "SL-OH"): "before next check before: days passed",
        (units[3].pk, "SL-OH"): moved[units[3].pk, "SL-OH"],
    }
    assert moved[units[1].pk, "SL-OH"].startswith("moved from ")
    planned = "the plan of checks changed: A1 on 21 Jul 2027, now A1 on 10 Aug 2027"
    assert moved[units[3].pk, "SL-OH"] == planned
    assert {limit for _, limit in told(since.new)} == {"SL-LOOK"}
    assert set(told(since.new).values()) == {"a limit began to apply"}
    by = {one.row.unit_id: one.whose and one.whose.by for one in since.moved}
    assert by[units[0].pk] and by[units[1].pk] and by[units[0].pk] != by[units[1].pk]
    assert by[units[2].pk] is None
    [moved_by] = [each.recorded_by.shown_name for each in CheckRecord.objects.all()]
    assert by[units[3].pk] == moved_by


def test_today_and_programs_say_the_same(stage, client):
    units, _ = stage
    desk = signed_in(build.a_person("controller"))

    page = desk.get(reverse("scheduling:today")).content.decode()
    every_change = desk.get(reverse("scheduling:today_changes")).content.decode()
    sent = desk.get("/api/v1/due-items/changes").json()

    for text in (page, every_change):
        assert "What changed since the list of Mon 31 May 2027" in text
        assert "Moved: 4" in text and "Gone: 1" in text
        assert "work recorded: counted from 31 May 2027" in text
    assert (sent["since"], sent["moved_in_all"], sent["gone_in_all"]) == ("2027-05-31", 4, 1)
    [work] = [one for one in sent["moved"] if one["unit"] == units[0].pk]
    assert work["recorded_by"] and work["was_due_on"] == "2027-07-11"
    assert desk.get("/api/v1/due-items/changes", {"most": 201}).status_code == 400


def test_without_a_list_of_the_day_before_nothing_is_made_up(client):
    desk = signed_in(build.a_person("controller"))

    page = desk.get(reverse("scheduling:today")).content.decode()

    assert "Not known: the list of the day before is kept" in page
    assert desk.get("/api/v1/due-items/changes").status_code == 404


def test_a_day_reckoned_again_keeps_last_nights_list(stage):
    kept = list(ItemBefore.objects.order_by("pk").values_list("pk", "due_on", "band"))

    recompute_all(as_of=DAY, now=build.NOW, why="test")

    assert list(ItemBefore.objects.order_by("pk").values_list("pk", "due_on", "band")) == kept
    assert since_before(DAY + timedelta(days=1), 5) is None  # its own list is not made yet
