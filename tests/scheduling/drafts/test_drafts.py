"""Changes kept together and not done: compared with today's plan, taken all or none, or thrown away."""

from __future__ import annotations

import random
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from fleet.house.pages import today
from fleet.models import AircraftStatus, Check, PlannedRate
from scheduling.drafts.acts.drafts import take_draft
from scheduling.drafts.reads import compared
from scheduling.models import Draft, DraftChange
from tests import builders as build
from tests.scheduling.entries.test_what_if import due_now, placed_now
from tests.scheduling.planning.world import (
    a_check,
    an_aircraft,
    due_in,
    in_days,
    overhauls,
    reckoned,
)
from tests.sweeps import many

pytestmark = pytest.mark.django_db


@pytest.fixture
def planner():
    return build.a_person("controller")


@pytest.fixture
def desk(client, planner):
    client.force_login(planner, "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def aircraft():
    overhauls()
    made = an_aircraft()
    due_in(made, "D1L-SLIDE", 104)
    due_in(made, "D2L-SLIDE", 160)
    reckoned()
    return made


def keep_move(desk, check, days, name="March", length=2):
    said = {
        "name": check.name,
        "starts_on": in_days(days).isoformat(),
        "ends_on": in_days(days + length).isoformat(),
        "station": check.station_id,
        "draft": name,
        "keep": "1",
    }
    return desk.post(reverse("scheduling:check_change", args=[check.pk]), said)


def keep_parked(desk, aircraft, days, name="March", status="parked"):
    said = {
        "aircraft": aircraft.registration,
        "status": status,
        "from_on": in_days(days).isoformat(),
        "document": "OPS-1",
        "draft": name,
        "keep": "1",
    }
    return desk.post(reverse("scheduling:enter_status"), said)


def take(desk, draft):
    return sent(desk, "draft_take", draft.pk)


def sent(desk, page, key):
    """The one button of a page pressed."""
    return desk.post(reverse(f"scheduling:{page}", args=[key]), {"act_id": str(uuid4())})


def test_a_change_is_kept_and_not_done(desk, aircraft):
    check, _ = a_check(aircraft, 100, "A1"), a_check(aircraft, 200, "A2")
    reckoned()

    answer = keep_move(desk, check, 110)

    draft = Draft.objects.get()
    assert (answer.status_code, answer.url) == (302, reverse("scheduling:draft", args=[draft.pk]))
    check.refresh_from_db()
    assert check.starts_on == in_days(100)
    page = desk.get(answer.url).content.decode()
    assert "Nothing of it is done" in page
    assert "This form was sent before" not in page
    assert "1 job fits no check then" in page


def test_several_changes_are_compared_together_and_taken_together(desk, aircraft):
    first, second = a_check(aircraft, 100, "A1"), a_check(aircraft, 200, "A2")
    reckoned()
    keep_move(desk, first, 110)
    keep_move(desk, second, 150)

    draft = Draft.objects.get()
    page = desk.get(reverse("scheduling:draft", args=[draft.pk])).content.decode()
    answer = take(desk, draft)

    assert "2 changes" in page and "A1 begins 6 days after its last day" in page
    assert answer.status_code == 302
    assert [check.starts_on for check in Check.objects.order_by("name")] == [
        in_days(110),
        in_days(150),
    ]
    draft.refresh_from_db()
    assert draft.ended_how == Draft.TAKEN


def test_a_draft_thrown_away_changes_nothing_and_is_not_taken_after_that(desk, aircraft):
    check = a_check(aircraft, 100, "A1")
    keep_move(desk, check, 110)
    draft = Draft.objects.get()

    sent(desk, "draft_throw_away", draft.pk)
    again = take(desk, draft)

    assert again.status_code == 422
    assert "thrown away this draft already" in again.content.decode()
    check.refresh_from_db()
    assert check.starts_on == in_days(100)


def test_a_change_taken_out_is_not_done_with_the_others(desk, aircraft):
    first, second = a_check(aircraft, 100, "A1"), a_check(aircraft, 200, "A2")
    keep_move(desk, first, 90)
    keep_move(desk, second, 150)
    out = DraftChange.objects.order_by("pk").first()

    sent(desk, "draft_take_out", out.pk)
    take(desk, Draft.objects.get())

    assert [check.starts_on for check in Check.objects.order_by("name")] == [
        in_days(100),
        in_days(150),
    ]


def test_of_a_draft_that_cannot_be_done_nothing_is_done_and_it_says_which_change(desk, aircraft):
    first, second = a_check(aircraft, 100, "A1"), a_check(aircraft, 200, "A2")
    keep_move(desk, first, 90)
    keep_move(desk, second, 150)
    a_check(aircraft, 151, "B1")  # somebody plans another check there meanwhile
    draft = Draft.objects.get()

    page = desk.get(reverse("scheduling:draft", args=[draft.pk])).content.decode()
    answer = take(desk, draft)

    assert "Change 2" in page and "overlaps B1" in page
    assert answer.status_code == 422
    first.refresh_from_db()
    assert first.starts_on == in_days(100)
    draft.refresh_from_db()
    assert draft.ended_at is None


def test_what_the_page_refuses_is_not_kept(desk, aircraft):
    check, _ = a_check(aircraft, 100, "A1"), a_check(aircraft, 200, "A2")

    overlapping = keep_move(desk, check, 201)
    nameless = keep_move(desk, check, 110, name=" ")

    assert "overlaps A2" in overlapping.content.decode()
    assert "Give the draft a name" in nameless.content.decode()
    assert (overlapping.status_code, nameless.status_code) == (422, 422)
    assert not DraftChange.objects.exists()


def test_a_rate_and_a_parking_are_kept_too(desk, aircraft):
    build.the_hours()
    a_check(aircraft, 100, "A1")
    rate = {
        "aircraft": aircraft.registration,
        "measure": "hours",
        "per_day": "9:30",
        "from_on": in_days(3).isoformat(),
        "draft": "Summer",
        "keep": "1",
    }

    kept = [
        desk.post(reverse("scheduling:enter_rates"), rate).status_code,
        keep_parked(desk, aircraft, 10, "Summer").status_code,
    ]
    before = (PlannedRate.objects.count(), AircraftStatus.objects.count())
    answer = take(desk, Draft.objects.get())

    assert kept == [302, 302]
    assert before == (0, 0)
    assert answer.status_code == 302, re.sub("<[^>]*>", " ", answer.content.decode())[:2000]
    assert (PlannedRate.objects.count(), AircraftStatus.objects.count()) == (1, 1)


def test_whoever_only_reads_is_offered_no_draft(client, desk, aircraft):
    check = a_check(aircraft, 100, "A1")
    keep_move(desk, check, 110)
    client.force_login(build.a_person("auditor"), "django.contrib.auth.backends.ModelBackend")

    page = client.get(reverse("scheduling:draft", args=[Draft.objects.get().pk])).content.decode()
    answer = take(client, Draft.objects.get())

    assert "Take the draft" not in page
    assert answer.status_code == 422
    check.refresh_from_db()
    assert check.starts_on == in_days(100)


@pytest.mark.sweep
@pytest.mark.parametrize("seed", range(many(4, 2)))
def test_a_draft_foretells_what_is_found_after_it_is_taken(seed, desk, planner, aircraft):
    told = random.Random(seed)
    checks = [a_check(aircraft, 20 + 70 * at, f"A{at}") for at in range(3)]
    reckoned()
    for _ in range(told.randint(1, 3)):
        if told.random() < 0.3:
            keep_parked(desk, aircraft, told.randint(1, 150))
        else:
            keep_move(desk, told.choice(checks), told.randint(5, 220), length=told.randint(0, 3))
    draft = Draft.objects.first()
    if draft is None:  # every change was refused
        return
    now = timezone.now()
    beside = compared(draft, planner, now, today())
    before, due_before = placed_now(aircraft), due_now(aircraft)
    if beside.refused:
        return

    take_draft(
        by=planner,
        draft_id=draft.pk,
        act_id=uuid4(),
        at=now + timedelta(seconds=1),
        today=today(),
    )
    reckoned()
    after, due_after = placed_now(aircraft), due_now(aircraft)

    [moves] = beside.moves
    elsewhere = {unit for unit in after if unit in before and before[unit][:2] != after[unit][:2]}
    assert {one.row.unit_id for one in moves.plan.first} == elsewhere
    moved = {unit for unit in due_after if due_before.get(unit) != due_after[unit]}
    assert {one.row.unit_id for one in moves.first} == moved
