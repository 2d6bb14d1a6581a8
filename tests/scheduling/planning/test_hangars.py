"""What hangars hold: said once by page and program, more than that shown, days that fit kept as a draft and taken."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import numpy as np
import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from fleet.house.pages import today
from fleet.models import Check
from scheduling.drafts import hangars
from scheduling.models import Draft, HangarCapacity
from scheduling.placing.columns import NEEDS
from scheduling.planning.facts.fleet import plan_of
from scheduling.planning.reads.hangars import fitted, overfull_until
from tests import builders as build
from tests.scheduling.drafts.test_drafts import take

from .world import a_check, an_aircraft, due_in, in_days, overhauls, reckoned, stated

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def station():
    return build.a_station()


def holds(desk, station, slots=1, people="", days=-10):
    said = {"act_id": str(uuid4()), "from_on": in_days(days).isoformat(), "slots": slots}
    address = reverse("scheduling:plan_hangar", args=[station.pk])
    return desk.post(address, said | {"people": people, "document": "CAP 7"})


def three_at_once(station):
    """Three aircraft, each with a slide due behind its check; the checks of three days begin two days apart."""
    overhauls()
    stated(margin=2, opening=0, life=100)
    made = []
    for at in range(3):
        craft = an_aircraft()
        due_in(craft, "D1L-SLIDE", 104 + 2 * at)
        due_in(craft, "D2L-SLIDE", 160)
        made.append(a_check(craft, 100 + 2 * at, f"C{at}", station=station))
        a_check(craft, 200, "D1")
    reckoned()
    return made


def fits_none(plan):
    return int(np.isin(plan.placed.state, [int(state) for state in NEEDS]).sum())


def test_it_is_said_by_page_and_program_alike_and_the_latest_of_a_day_holds(desk, station):
    assert holds(desk, station, 3, 12).status_code == 302
    said = {
        "act_id": str(uuid4()),
        "station": station.code,
        "from_on": in_days(-10).isoformat(),
        "slots": 2,
        "people": None,
    }
    answers = [desk.post("/api/v1/plan/hangars", said, "application/json") for _ in (1, 2)]

    assert [each.status_code for each in answers] == [201, 200]
    assert HangarCapacity.objects.count() == 2
    page = desk.get(reverse("scheduling:hangars")).content.decode()
    row = page[page.index(f">{station.code}<") :].split("</tr>")[0]
    assert re.search(r'data-label="Slots">2<', row)
    assert "not counted" in row


def test_while_nothing_is_said_of_a_hangar_it_is_not_known_to_hold_its_checks(desk, station):
    other = build.a_station()
    address = reverse("scheduling:hangars")

    unsaid = desk.get(address, {"find": "1"}).content.decode()
    holds(desk, station)
    said = desk.get(address, {"find": "1"}).content.decode()

    assert "Not known:" in unsaid and "More than they hold: 0" not in unsaid
    assert "No days were found:" in unsaid and "that is proven" not in unsaid
    assert "that is proven" in said and f"Checks at {other.code} were held against nothing" in said
    assert "More than they hold: 0" in said
    assert f"Nothing is said of {other.code}: whether it holds its checks is not known." in said


@pytest.mark.parametrize(
    ("field", "value"),
    [("slots", "-1"), ("slots", "1000"), ("people", "many"), ("from_on", "soon")],
)
def test_nonsense_is_refused_at_its_field(desk, station, field, value):
    said = {"from_on": in_days(0).isoformat(), "slots": "1", "people": ""} | {field: value}

    answer = desk.post(reverse("scheduling:plan_hangar", args=[station.pk]), said)

    assert answer.status_code == 422
    assert not HangarCapacity.objects.exists()


def test_whoever_only_reads_states_and_keeps_nothing(client, station):
    client.force_login(build.a_person("auditor"), "django.contrib.auth.backends.ModelBackend")

    assert holds(client, station).status_code == 422
    page = client.get(reverse("scheduling:hangars"), {"find": "1"})

    assert page.status_code == 200
    assert "State it" not in page.content.decode()
    assert not HangarCapacity.objects.exists()


def test_more_than_it_holds_is_said_on_the_plan_and_days_that_fit_are_found(desk, station):
    checks = three_at_once(station)
    silent = desk.get(reverse("scheduling:plan")).content.decode()
    holds(desk, station, 1)

    plan = plan_of(today())
    spans = overfull_until(today(), in_days(120))
    fit = fitted(plan, in_days(120), 14, 5)

    assert "More checks than a hangar holds" not in silent
    assert [(each.from_on, each.to_on) for each in spans] == [
        (in_days(102), in_days(102)),
        (in_days(104), in_days(104)),
    ]
    assert set(spans[0].checks) == {checks[0], checks[1]}
    assert (
        "More checks than a hangar holds" in desk.get(reverse("scheduling:plan")).content.decode()
    )
    # By hand: later throws no life away, and the last days that the slides allow are 102, 104 and 106.
    assert {each.check: each.days for each in fit.moves} == {checks[1]: 1, checks[2]: 2}
    assert fit.life_lost == 0
    assert (fit.without, fit.left, fit.is_best) == ((), (), True)
    assert "that is proven" in fit.words


def test_a_page_looks_for_a_second_and_longer_where_somebody_asks_it_to(desk, station, monkeypatch):
    """Found in time and not proven the best: longer is offered, once."""
    three_at_once(station)
    holds(desk, station, 1)
    looked = []

    def in_time(plan, until, move, seconds):
        looked.append(seconds)
        return replace(fitted(plan, until, move, 5), is_best=False)

    monkeypatch.setattr(hangars, "fitted", in_time)
    address = reverse("scheduling:hangars")

    first = desk.get(address, {"find": "1"}).content.decode()
    longer = desk.get(address, {"find": "longer"}).content.decode()
    desk.get(address, {"find": "for ever"})

    assert "Look longer" in first and "At most 8 seconds" in first
    assert "Look longer" not in longer
    assert looked == [0.9, 8.0]


def test_days_that_fit_are_kept_as_a_draft_and_taken_and_nothing_loses_its_check(desk, station):
    three_at_once(station)
    holds(desk, station, 1)
    before = plan_of(today())
    page = desk.get(reverse("scheduling:hangars"), {"months": "4", "move": "14", "find": "1"})
    moves = re.search(r'name="moves" value="([^"]+)"', page.content.decode())[1]
    starts = dict(Check.objects.values_list("pk", "starts_on"))

    kept = desk.post(
        reverse("scheduling:hangars"), {"act_id": str(uuid4()), "moves": moves, "draft": "Slots"}
    )

    draft = Draft.objects.get(name="Slots")
    assert kept.url == reverse("scheduling:draft", args=[draft.pk])
    assert dict(Check.objects.values_list("pk", "starts_on")) == starts
    shown = desk.get(kept.url).content.decode()
    assert "Take the draft" in shown
    assert take(desk, draft).status_code == 302
    reckoned()
    after = plan_of(today())
    assert overfull_until(today(), in_days(120)) == []
    assert fits_none(after) <= fits_none(before)
    assert dict(Check.objects.values_list("pk", "starts_on")) != starts


def test_a_check_moved_to_where_the_hangar_is_full_says_so_before_it_is_saved(desk, station):
    *_, third = three_at_once(station)
    holds(desk, station, 2)
    said = {
        "name": third.name,
        "starts_on": in_days(101).isoformat(),
        "ends_on": in_days(103).isoformat(),
        "station": station.pk,
    }

    page = desk.post(reverse("scheduling:check_change", args=[third.pk]), said).content.decode()

    assert "More than a hangar holds then" in page
    assert "3 checks, 2 slots" in page


def test_a_draft_of_moves_is_kept_once_by_programs_and_none_of_it_where_one_is_refused(
    desk, station
):
    first, second, _ = three_at_once(station)
    said = {
        "act_id": str(uuid4()),
        "draft": "Slots",
        "moves": [{"check": first.pk, "starts_on": in_days(95).isoformat()}],
    }
    answers = [desk.post("/api/v1/plan/moves-kept", said, "application/json") for _ in (1, 2)]
    Check.objects.filter(pk=second.pk).update(closed_on=today())
    wrong = said | {
        "act_id": str(uuid4()),
        "moves": [*said["moves"], {"check": second.pk, "starts_on": in_days(90).isoformat()}],
    }
    refused = desk.post("/api/v1/plan/moves-kept", wrong, "application/json")
    twice = desk.post(
        "/api/v1/plan/moves-kept",
        said | {"act_id": str(uuid4()), "moves": said["moves"] * 2},
        "application/json",
    )

    assert [each.status_code for each in answers] == [201, 200]
    assert refused.status_code == 422
    assert "was closed on" in refused.content.decode()
    assert twice.json()["errors"][0]["code"] == "check_twice"
    assert Draft.objects.get().changes.count() == 1


def test_a_slot_holds_one_check_on_a_day_at_every_door(desk, station):
    craft, other = an_aircraft(), an_aircraft()
    here = a_check(craft, 30, "A1", station=station, slot="Bay 2")
    said = {
        "name": "B1",
        "starts_on": (here.ends_on).isoformat(),
        "ends_on": (here.ends_on + timedelta(days=3)).isoformat(),
        "station": station.code,
        "slot": "bay 2",
    }
    address = f"/api/v1/aircraft/{other.registration}/checks"

    refused = desk.post(address, said, "application/json")
    page = desk.post(
        reverse("scheduling:check_plan", args=[other.registration]),
        said | {"station": station.pk, "sort": "check"},
    )
    taken = desk.post(
        address,
        said | {"starts_on": (here.ends_on + timedelta(days=1)).isoformat()},
        "application/json",
    )

    [why] = refused.json()["errors"]
    assert (refused.status_code, why["code"], why["field"]) == (422, "slot_taken", "slot")
    assert f"is taken by A1 of {craft.registration}" in why["message"]
    assert "is taken by A1" in page.content.decode()
    assert taken.status_code == 201
    with pytest.raises(IntegrityError, match="a_hangar_slot_holds_one_check"), transaction.atomic():
        a_check(other, 60, "B2", station=station, slot="x")
        a_check(craft, 62, "A2", station=station, slot="X")


def test_a_slot_and_people_not_said_stay_and_said_blank_go(desk, station):
    check = a_check(an_aircraft(), 30, "A1", station=station, slot="2", people=4)
    said = {
        "act_id": str(uuid4()),
        "check": check.pk,
        "name": "A1",
        "starts_on": in_days(31).isoformat(),
        "ends_on": in_days(33).isoformat(),
        "station": station.code,
    }

    desk.post("/api/v1/check-changes", said, "application/json")
    check.refresh_from_db()
    as_it_was = (check.slot, check.people)
    gone = said | {"act_id": str(uuid4()), "slot": "", "people": 0}
    desk.post("/api/v1/check-changes", gone, "application/json")
    check.refresh_from_db()

    assert as_it_was == ("2", 4)
    assert (check.slot, check.people) == ("", 0)


def test_the_questions_asked_are_as_many_for_two_checks_as_for_ten(
    desk, station, django_assert_max_num_queries
):
    overhauls()
    holds(desk, station, 1)
    for at in range(2):
        a_check(an_aircraft(), 100, f"C{at}", station=station)
    reckoned()
    counts = []
    for more in (0, 8):
        for at in range(more):
            a_check(an_aircraft(), 100, f"E{at}", station=station)
        with django_assert_max_num_queries(80) as asked:
            desk.get(reverse("scheduling:hangars"), {"find": "1"})
        counts.append(len(asked))

    assert counts[0] == counts[1]
