"""The plan of an aircraft on record: where each work is done, what fits none, and what the controller decides."""

from __future__ import annotations

import re
from uuid import uuid4

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fleet.house.pages import today
from fleet.models import Check
from scheduling.models import Placement
from scheduling.planning.facts.fleet import plan_of
from scheduling.planning.reads.shown import jobs_shown, needing
from tests import builders as build
from tests.scheduling.rules import a_rule, done, every

from .world import (
    a_check,
    a_hangar,
    an_aircraft,
    due_in,
    in_days,
    item_of,
    overhauls,
    reckoned,
    stated,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def aircraft():
    overhauls()
    return an_aircraft()


def placed(aircraft=None) -> dict[int, tuple[str, str]]:
    """By unit: how it stands and at which check."""
    plan = plan_of(today(), [aircraft.pk] if aircraft else None)
    shown = jobs_shown(plan, np.arange(len(plan.jobs)))
    return {one.row.unit_id: (one.state, one.check.name if one.check else "") for one in shown}


def needed(aircraft) -> list[str]:
    plan = plan_of(today(), [aircraft.pk])
    return [one.needed for one in jobs_shown(plan, needing(plan, in_days(400)))]


def put(desk, item, where, reason="It is opened then anyway."):
    return desk.post(
        reverse("scheduling:plan_place", args=[item.pk]), {"where": where, "reason": reason}
    )


# --- the rule -------------------------------------------------------------------------------------


def test_a_work_stands_at_its_last_check_less_the_margin(aircraft):
    early, late = due_in(aircraft, "D1L-SLIDE", 104), due_in(aircraft, "D2L-SLIDE", 112)
    for days, name in ((50, "A1"), (100, "A2"), (150, "A3")):
        a_check(aircraft, days, name)
    reckoned()

    at_once = placed()
    stated(margin=7)

    assert at_once == {early.pk: ("placed", "A2"), late.pk: ("placed", "A2")}
    assert placed() == {early.pk: ("placed", "A1"), late.pk: ("placed", "A2")}


def test_what_fits_none_says_what_it_needs(aircraft):
    due_in(aircraft, "D1L-SLIDE", 30)
    due_in(aircraft, "D2L-SLIDE", 52)
    a_check(aircraft, 50, "A1")
    a_check(aircraft, 100, "A2")
    stated(margin=7)
    reckoned()

    late, inside = needed(aircraft)

    assert "A1 begins 20 days after its last day" in late and "xtra ground time by" in late
    assert "A1 begins 2 days before its last day, the margin is 7 days" in inside


def test_an_aircraft_without_checks_needs_one(aircraft):
    due_in(aircraft, "D1L-SLIDE", 30)
    reckoned()

    [words] = needed(aircraft)

    assert "No planned check can do it" in words


def test_a_stop_that_cannot_do_the_work_is_passed_over(aircraft):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_check(aircraft, 50, "A1")
    a_check(aircraft, 100, "N1", sort=Check.OVERNIGHT, station=a_hangar("WEIGH"))
    a_check(aircraft, 150, "A2")
    reckoned()

    assert placed() == {unit.pk: ("placed", "A1")}


def test_each_overnight_stop_of_the_plan_says_which_works_it_can_do(aircraft, desk):
    """By its own works, else its station's; where neither names any it says so, and a check is not asked."""
    for work in ("WEIGH", "LOOK"):
        a_rule(f"SL-{work}", every(12), work=work)
    a_check(
        aircraft, 20, "N1", sort=Check.OVERNIGHT, station=a_hangar("WEIGH"), ends_on=in_days(21)
    )
    a_check(aircraft, 30, "N2", sort=Check.OVERNIGHT, abilities=["LOOK", "WEIGH"])
    a_check(aircraft, 40, "N3", sort=Check.OVERNIGHT)
    a_check(aircraft, 50, "A1")
    reckoned()

    page = re.sub(r"\s+", " ", desk.get(reverse("scheduling:plan")).content.decode())

    of = {
        name: re.findall(rf'aria-label="[^"]*\b({name}, [^"]*)"', page)
        for name in ("N1", "N2", "N3", "A1")
    }
    assert [words[0].partition(": ")[2] for words in of.values()] == [
        "nothing. Possible there: Weigh",
        "nothing. Possible there: Look, Weigh",
        "nothing. No works are named for the stop or its station: every work counts as possible",
        "nothing",
    ]


def test_units_behind_one_door_are_changed_together_where_that_saves_more(aircraft):
    left, right = due_in(aircraft, "D1L-SLIDE", 60), due_in(aircraft, "D1R-SLIDE", 104)
    apart = due_in(aircraft, "D2L-SLIDE", 104)
    for days, name in ((50, "A1"), (100, "A2"), (150, "A3")):
        a_check(aircraft, days, name)
    reckoned()
    stated(opening=100, life=199)  # 50 days of life cost 99.5

    plan = plan_of(today())

    assert placed() == {
        left.pk: ("placed", "A1"),
        right.pk: ("together", "A1"),
        apart.pk: ("placed", "A2"),
    }
    [merged] = plan.merged
    assert (merged.opening_saved, merged.life_lost) == (10_000, 9_950)


def test_a_part_numbers_own_price_and_an_accesss_own_price_count(aircraft, desk):
    dear = build.a_part("HS-DEAR")
    left, right = due_in(aircraft, "D1L-SLIDE", 60), due_in(aircraft, "D1R-SLIDE", 104, dear)
    for days, name in ((50, "A1"), (100, "A2"), (150, "A3")):
        a_check(aircraft, days, name)
    reckoned()
    stated(opening=100, life=199)

    answer = desk.post(reverse("scheduling:plan_life_price", args=[dear.pk]), {"price": "300"})
    with_life = placed()
    address = reverse("scheduling:plan_opening_price", args=[aircraft.aircraft_type_id, "DOOR 1"])
    again = desk.post(address, {"price": "151"})

    assert (answer.status_code, again.status_code) == (302, 302)
    assert with_life == {left.pk: ("placed", "A1"), right.pk: ("placed", "A2")}
    assert placed()[right.pk] == ("together", "A1")


def test_what_comes_off_with_one_unit_is_one_job(aircraft):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_rule("SL-TEST", every(24), work="TEST")
    done("TEST", in_days(-600).isoformat(), unit_id=unit.pk)
    for days, name in ((50, "A1"), (100, "A2"), (150, "A3")):
        a_check(aircraft, days, name)
    reckoned()

    plan = plan_of(today())
    [job] = jobs_shown(plan, np.arange(len(plan.jobs)))

    assert (job.check.name, job.also) == ("A2", 1)


def test_the_questions_asked_are_as_many_for_two_aircraft_as_for_ten():
    overhauls()
    fleet = [an_aircraft() for _ in range(10)]
    for each in fleet:
        due_in(each, "D1L-SLIDE", 104)
        a_check(each, 50, "A1")
        a_check(each, 150, "A2")
    reckoned()

    def asked(count):
        plan = plan_of(today(), [each.pk for each in fleet[:count]])
        jobs_shown(plan, np.arange(len(plan.jobs)))

    with CaptureQueriesContext(connection) as few:
        asked(2)
    with CaptureQueriesContext(connection) as many:
        asked(10)

    assert len(many) == len(few)


# --- what the controller decides --------------------------------------------------------------------


def test_the_controller_puts_a_work_inside_the_margin_and_takes_it_back(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    for days, name in ((50, "A1"), (100, "A2"), (150, "A3")):
        check = a_check(aircraft, days, name)
    stated(margin=7)
    reckoned()
    a2 = Check.objects.get(name="A2")

    answer = put(desk, item_of(unit), f"check {a2.pk}")
    chosen = placed()
    put(desk, item_of(unit), "rule", "The margin counts after all.")

    assert answer.status_code == 302
    assert chosen == {unit.pk: ("chosen", "A2")}
    assert placed() == {unit.pk: ("placed", "A1")}
    assert check.name == "A3"


def test_a_check_after_the_last_day_is_not_offered_and_is_refused(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_check(aircraft, 100, "A2")
    late = a_check(aircraft, 150, "A3")
    reckoned()

    page = desk.get(reverse("scheduling:plan_place", args=[item_of(unit).pk])).content.decode()
    answer = put(desk, item_of(unit), f"check {late.pk}")

    assert "A2, " in page and "A3, " not in page
    assert answer.status_code == 422
    assert not Placement.objects.exists()


def test_a_reason_is_asked_for_and_what_was_chosen_stays_chosen(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_check(aircraft, 100, "A2")
    reckoned()

    answer = put(desk, item_of(unit), "own", "")

    assert answer.status_code == 422
    assert "Say why" in answer.content.decode()
    assert re.search(r'value="own"[^>]*checked', answer.content.decode())


def test_a_choice_does_not_outlive_the_check_it_named(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_check(aircraft, 50, "A1")
    a2 = a_check(aircraft, 100, "A2")
    a_check(aircraft, 150, "A3")
    reckoned()
    put(desk, item_of(unit), f"check {a2.pk}")

    a2.starts_on, a2.ends_on = in_days(110), in_days(112)
    a2.save()
    reckoned()

    assert placed() == {unit.pk: ("chosen-late", "")}
    [words] = needed(aircraft)
    assert "does not serve any more" in words


def test_a_choice_ends_with_its_interval(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_check(aircraft, 50, "A1")
    reckoned()
    put(desk, item_of(unit), "own")
    before = placed()
    done("OVERHAUL", today().isoformat(), unit_id=unit.pk)
    reckoned()

    assert before[unit.pk][0] == "own-time"
    assert placed()[unit.pk][0] == "beyond-plan"


# --- pages and doors --------------------------------------------------------------------------------


def test_the_page_draws_checks_and_says_what_fits_none(aircraft, desk):
    due_in(aircraft, "D1L-SLIDE", 104)
    due_in(aircraft, "D2L-SLIDE", 30)
    a2 = a_check(aircraft, 100, "A2")
    a_check(aircraft, 150, "A3")
    reckoned()

    page = desk.get(reverse("scheduling:plan"), {"months": "12"}).content.decode()
    check = desk.get(reverse("scheduling:plan_check", args=[a2.pk])).content.decode()

    assert reverse("scheduling:plan_check", args=[a2.pk]) in page
    assert "A2 begins 70 days after its last day" in page
    assert "Done at it: 1" in check
    assert "4 days early" in check
    assert reverse("scheduling:check_change", args=[a2.pk]) in check


def test_an_aircraft_with_something_overdue_or_unknown_says_so_beside_its_name(aircraft, desk):
    """Neither has a day to be drawn at, and a row that shows checks only would read as well."""
    due_in(aircraft, "D1L-SLIDE", -5)
    a_check(aircraft, 100, "A2")
    reckoned()
    asked = {"months": "12"}

    page = desk.get(reverse("scheduling:plan"), asked).content.decode()
    assert "1 now</strong>" in page
    assert "unknown</strong>" not in page

    build.installed(
        build.a_unit(manufactured_on=None), build.at_position(aircraft, "D2L-SLIDE"), "2026-01-10"
    )
    reckoned()

    page = desk.get(reverse("scheduling:plan"), asked).content.decode()
    assert "1 unknown</strong>" in page


def test_filters_keep_other_aircraft_out(aircraft, desk):
    other = an_aircraft()
    due_in(other, "D1L-SLIDE", 30)
    due_in(aircraft, "D1L-SLIDE", 30)
    reckoned()

    page = desk.get(
        reverse("scheduling:plan"), {"aircraft": aircraft.registration, "months": "2"}
    ).content.decode()
    wrong = desk.get(reverse("scheduling:plan"), {"aircraft": "Q-NONE", "months": "2"})

    main = page[page.index("plan-line") :]
    assert aircraft.registration in main and other.registration not in main
    assert "There is no aircraft Q-NONE" in wrong.content.decode()


def test_whoever_only_reads_decides_nothing(aircraft, client):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a_check(aircraft, 100, "A2")
    reckoned()
    client.force_login(build.a_person("auditor"), "django.contrib.auth.backends.ModelBackend")

    page = client.get(reverse("scheduling:plan")).content.decode()
    answer = put(client, item_of(unit), "own")

    assert "Put elsewhere" not in page
    assert answer.status_code == 422
    assert not Placement.objects.exists()


def test_programs_read_the_same_plan(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    late = due_in(aircraft, "D2L-SLIDE", 30)
    a2 = a_check(aircraft, 100, "A2")
    a_check(aircraft, 150, "A3")
    reckoned()

    plan = desk.get("/api/v1/plan", {"months": "12"}).json()
    at_check = desk.get("/api/v1/plan/jobs", {"check": a2.pk}).json()
    all_of = desk.get("/api/v1/plan/jobs", {"aircraft": aircraft.registration, "limit": 1}).json()
    need = desk.get("/api/v1/plan/jobs").json()

    assert (plan["placed"], plan["needing"], plan["checks"][0]["jobs"]) == (1, 1, 1)
    assert [one["unit"] for one in at_check["results"]] == [unit.pk]
    assert len(all_of["results"]) == 1 and len(desk.get(all_of["next"]).json()["results"]) == 1
    assert [one["unit"] for one in need["results"]] == [late.pk]
    assert desk.get("/api/v1/plan/jobs", {"cursor": "x"}).status_code == 400
    assert desk.get("/api/v1/plan/jobs", {"check": 999_999}).status_code == 404


def test_programs_place_an_item_once(aircraft, desk):
    unit = due_in(aircraft, "D1L-SLIDE", 104)
    a2 = a_check(aircraft, 100, "A2")
    reckoned()
    sent = {
        "act_id": str(uuid4()),
        "item": item_of(unit).pk,
        "sort": "check",
        "check": a2.pk,
        "reason": "With the door work.",
    }

    answers = [
        desk.post("/api/v1/plan/placements", sent, "application/json").status_code for _ in (1, 2)
    ]

    assert answers == [201, 200]
    assert Placement.objects.count() == 1
