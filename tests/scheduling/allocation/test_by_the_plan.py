"""One item has one day and one station: on the plan, in the proposal, in the shortage and in the float."""

from __future__ import annotations

import random
import re
from collections import Counter
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from fleet.house.pages import today
from scheduling.allocation.acts.make import make_proposal
from scheduling.allocation.facts.gathered import gather
from scheduling.allocation.reads.float import floats_shown
from scheduling.allocation.reads.kept import is_stale
from scheduling.allocation.reads.shortage import families_shown
from scheduling.models import DueItem, ProposedNeed
from tests import builders as build
from tests.scheduling.planning.world import (
    a_check,
    an_aircraft,
    due_in,
    in_days,
    item_of,
    overhauls,
    reckoned,
    stated,
)

pytestmark = pytest.mark.django_db

POSITIONS = ("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE", "D2R-SLIDE", "D3L-SLIDE", "D3R-SLIDE")


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


def words_of(desk, page):
    return re.sub(r"<[^>]+>|\s+", " ", desk.get(reverse(page)).content.decode()).replace("  ", " ")


def the_stage(desk):
    """One aircraft, a slide for each way in which the plan places: rule, margin, opening shared, chosen, own
    time, behind the last check. Positions by the day and the station on which each is changed."""
    overhauls()
    craft, hangar = an_aircraft(*POSITIONS), build.a_station("QHGR")
    base = craft.station.code
    days = (60, 103, 112, 112, 140, 190)
    units = [due_in(craft, *each) for each in zip(POSITIONS, days, strict=True)]
    a1 = a_check(craft, 50, "A1", station=hangar)
    a_check(craft, 100, "A2")
    a_check(craft, 150, "A3")
    stated(margin=7, opening=1000, life=1)
    reckoned()
    for unit, where in ((units[3], f"check {a1.pk}"), (units[4], "own")):
        said = {"where": where, "reason": "The hangar has the people."}
        answer = desk.post(reverse("scheduling:plan_place", args=[item_of(unit).pk]), said)
        assert answer.status_code == 302
    return {
        "D1L-SLIDE": (in_days(50), "QHGR"),
        "D1R-SLIDE": (in_days(50), "QHGR"),  # A2 begins inside the margin
        "D2L-SLIDE": (in_days(100), base),
        "D2R-SLIDE": (in_days(50), "QHGR"),  # the controller put it there
        "D3L-SLIDE": (in_days(140), base),  # extra ground time, where the aircraft belongs
        "D3R-SLIDE": (in_days(183), base),  # nothing is planned so late: by its day less the margin
    }


def test_plan_proposal_shortage_and_float_say_one_day_and_one_station(desk):
    expected = the_stage(desk)

    run = make_proposal(as_of=today(), at=timezone.now())

    needs = ProposedNeed.objects.filter(run=run).order_by("position")
    assert {one.position: (one.on, one.station) for one in needs} == expected
    assert [one.check_name for one in needs] == ["A1", "A1", "A2", "A1", "", ""]
    registration = needs[0].registration
    told = desk.get("/api/v1/plan/jobs", {"aircraft": registration}).json()["results"]
    assert {
        one["position"]: (date.fromisoformat(one["on"]), one["station"]) for one in told
    } == expected
    assert "A unit is asked for by then at" in words_of(desk, "scheduling:plan")
    months = Counter(day.replace(day=1) for day, _ in expected.values())
    needed, short = Counter(), Counter()
    for family in families_shown(run):
        for month in family.months:
            needed[month.month] += month.needs
            short[family.name] += month.short
    assert +needed == months
    assert (
        short[needs[0].family] == 3
        and {one.name: one.lacking for one in floats_shown(run)} == short
    )


def test_a_decision_of_the_plan_makes_the_proposal_stale(desk):
    overhauls()
    craft = an_aircraft()
    unit = due_in(craft, "D1L-SLIDE", 60)
    a_check(craft, 50, "A1")
    reckoned()
    run = make_proposal(as_of=today(), at=timezone.now())
    was = is_stale(run, today())

    said = {"where": "own", "reason": "The hangar is full."}
    desk.post(reverse("scheduling:plan_place", args=[item_of(unit).pk]), said)

    assert (was, is_stale(run, today())) == (False, True)


def test_no_removal_is_proposed_after_its_limit():
    """Small random aircraft: checks, margins and prices as they fall, whatever is merged or fits none."""
    overhauls()
    chance = random.Random(17)
    for _ in range(12):
        craft = an_aircraft(*POSITIONS)
        for position in POSITIONS:
            due_in(craft, position, chance.randint(1, 420))
        day = chance.randint(-1, 60)
        for at in range(chance.randint(0, 5)):
            a_check(craft, day, f"A{at}")
            day += chance.randint(4, 120)
    reckoned()
    last = {row.line_unit_id: row.due_on for row in DueItem.objects.exclude(line_unit=None)}

    for margin in (0, 9):
        stated(margin=margin, opening=chance.randint(0, 900), life=chance.randint(0, 400))
        needs = gather(today(), timezone.now()).needs.values()

        assert len(needs) > 50
        late = [one for one in needs if one.need.on > last[one.row.unit_id]]
        assert not late
        assert all(one.need.on >= today() for one in needs)
        assert all(one.need.on <= today() + timedelta(days=365) for one in needs)
