"""A dual release is asked by the operator's rules of an aircraft, of its programme or of the house, and judged
at a swap's release."""

from __future__ import annotations

import pytest
from django.urls import reverse

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.models import Certificate, RuleSet
from equipment.segregation.rules_of_aircraft import rule_set_on
from equipment.swaps.reads.state import state_of
from scheduling.models import Programme, ProgrammeOfAircraft
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
DAY = build.day("2027-06-01")


def job_under(*scopes):
    """A swap done to its release under a dual release asked for each of these."""
    job = swaps.a_job(swaps.SHORT)
    programme = Programme.objects.create(code="QPRG", name="Tern", revision="3")
    ProgrammeOfAircraft.objects.create(
        aircraft=job.aircraft,
        programme=programme,
        from_on=build.day("2020-01-01"),
        recorded_at=build.NOW,
    )
    named = {
        "aircraft": {"aircraft": job.aircraft},
        "programme": {"programme": "QPRG"},
        "house": {},
    }
    for scope in scopes:
        swaps.a_rule_set(needs_dual_release=True, **named[scope])
    job.do_all()
    return job


def codes(job):
    return [each.code for each in stands_in_the_way(state_of(job.swap, job.now))]


@pytest.mark.parametrize("scope", ["aircraft", "programme", "house"])
def test_rules_of_an_aircraft_its_programme_or_the_house_ask_for_it(scope):
    assert codes(job_under(scope)) == ["no_dual_release"]


def test_without_such_rules_it_is_not_asked():
    assert codes(job_under()) == []


def test_a_certificate_of_both_authorities_meets_it(as_owner):
    job = job_under("aircraft")
    with as_owner():
        Certificate.objects.filter(unit=job.new).update(is_dual_release=True)

    assert codes(job) == []


def test_a_later_certificate_of_one_authority_does_not(as_owner):
    job = job_under("aircraft")
    with as_owner():
        Certificate.objects.filter(unit=job.new).update(is_dual_release=True)
    later = swaps.a_certificate(job.new)
    with as_owner():
        Certificate.objects.filter(pk=later.pk).update(issued_on=build.day("2027-05-01"))

    assert codes(job) == ["no_dual_release"]


def test_the_aircrafts_own_rules_go_before_its_programmes_and_these_before_the_houses():
    job = job_under("house")
    house = rule_set_on(DAY, job.aircraft.pk)
    of_programme = swaps.a_rule_set(programme="QPRG")
    assert rule_set_on(DAY, job.aircraft.pk) == of_programme
    own = swaps.a_rule_set(aircraft=job.aircraft)

    assert rule_set_on(DAY, job.aircraft.pk) == own
    assert rule_set_on(DAY, build.an_aircraft().pk) == house


def test_the_unit_that_was_there_before_needs_no_new_paper():
    job = swaps.a_job(swaps.SHORT)
    swaps.a_rule_set(needs_dual_release=True, aircraft=job.aircraft)
    job.open(planned_on_id=job.old.pk)
    job.take_off(tag=swaps.TagFact("serviceable", "removed_good"))
    job.put_on(job.old)
    job.do_steps()

    assert "no_dual_release" not in codes(job)


def test_the_page_of_the_release_and_the_api_say_which_rules_ask_for_it(program, time_machine):  # noqa: F811
    time_machine.move_to(build.NOW, tick=False)
    job = job_under("aircraft")
    rules = RuleSet.objects.get(aircraft=job.aircraft)

    page = signed_in(job.certifier).get(reverse("equipment:swap_release", args=[job.swap.pk]))
    told = program("auditor").get(f"/api/v1/swaps/{job.swap.pk}").json()

    assert f"which {rules} ({rules.document}) asks for" in page.content.decode()
    assert [each["code"] for each in told["obstacles"]] == ["no_dual_release"]


def test_rules_are_entered_by_program_and_by_sheet(program):  # noqa: F811
    aircraft = build.an_aircraft()
    sent = {
        "code": "SIGN-D",
        "revision": "1",
        "document": "MOE 2.23",
        "from_on": "2024-02-01",
        "step_statement": "Done.",
        "inspection_statement": "Inspected.",
        "release_statement": "Certified.",
        "needs_dual_release": True,
        "aircraft": aircraft.registration,
    }

    answer = program("controller").post("/api/v1/rule-sets", sent, format="json")

    assert (answer.status_code, answer.json()["needs_dual_release"]) == (201, True)
    assert rule_set_on(DAY, aircraft.pk).needs_dual_release
