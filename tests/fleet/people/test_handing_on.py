"""The open jobs of whoever leaves: shown, and handed to another person by an act, with who and when."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction
from rest_framework.test import APIClient

from equipment.availability.acts.holds import NewHold, end_hold, hold_units
from equipment.models import InspectorCall, Reservation
from fleet.models import JobHandedOn, Notice, PersonAct, User
from fleet.people.acts.tokens import make_token
from tests import builders as build
from tests import builders_swaps as swaps
from tests.builders import NOW

from .desks import a_member, signed_in, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def ada(db):
    return a_member("ada", "administrator")


@pytest.fixture
def desk(ada):
    return signed_in(ada)


@pytest.fixture
def taker(db):
    return a_member("bo", "technician", "stores")


@pytest.fixture
def job(db):
    """A swap that its technician has opened."""
    made = swaps.a_job()
    made.open()
    return made


@pytest.fixture
def leaver(job):
    return User.objects.get(pk=job.swap.opened_by_id)


def the_call(job):
    step = job.swap.step_list.steps.order_by("number").first()
    return InspectorCall.objects.create(
        act_id=uuid4(), swap=job.swap, step=step, called_at=NOW, called_by=job.swap.opened_by
    )


def the_hold(by):
    made = hold_units(
        by=by,
        hold=NewHold("unit", "recall", "Recalled.", unit_id=build.a_unit().pk),
        act_id=uuid4(),
        at=NOW,
    )
    return made.hold_id


def handed(desk, giver, jobs, to, words="Goes on nights."):
    given = {"jobs": jobs, "taker": to.pk if to else "", "words": words, "act_id": uuid4()}
    return desk.post(f"/people/{giver.pk}/jobs/", given, follow=True)


def test_every_sort_of_open_job_is_listed_with_since_when(desk, job, leaver):
    leaver.roles = ["technician", "controller"]
    leaver.save(update_fields=["roles"])
    call, hold = the_call(job), the_hold(leaver)
    unit, place = build.a_unit(), job.swap.place
    set_aside = Reservation.objects.create(
        act_id=uuid4(),
        unit=unit,
        place=place,
        need_on=NOW.date(),
        reserved_at=NOW,
        reserved_by=leaver,
    )

    page = desk.get(f"/people/{leaver.pk}/jobs/")

    html = page.content.decode()
    keys = (f"swap-{job.swap.pk}", f"call-{call.pk}", f"hold-{hold}", f"set-aside-{set_aside.pk}")
    for key in keys:
        assert f'value="{key}"' in html
    assert "called the inspector" in text(page)
    assert "set it aside" in text(page)
    assert "since" in text(page)


def test_what_has_ended_is_no_open_job(desk, job, leaver):
    leaver.roles = ["controller"]
    leaver.save(update_fields=["roles"])
    hold, call = the_hold(leaver), the_call(job)
    end_hold(by=leaver, hold_id=hold, words="Papers came.", document="QX", act_id=uuid4(), at=NOW)
    InspectorCall.objects.update(ended_at=NOW)

    html = desk.get(f"/people/{leaver.pk}/jobs/").content.decode()

    assert f'value="hold-{hold}"' not in html
    assert f'value="call-{call.pk}"' not in html


def test_after_a_deactivation_the_jobs_are_handed_on_with_who_and_when(desk, job, leaver, taker):
    answer = desk.post(
        f"/people/{leaver.pk}/deactivate/", {"reason": "Left.", "act_id": uuid4()}, follow=True
    )
    assert f'href="/people/{leaver.pk}/jobs/"' in answer.content.decode()

    answer = handed(desk, leaver, [f"swap-{job.swap.pk}"], taker)

    kept = JobHandedOn.objects.get()
    assert (kept.job, kept.giver, kept.taker) == (f"swap-{job.swap.pk}", leaver, taker)
    assert (kept.by.username, kept.words) == ("ada", "Goes on nights.")
    assert "handed on to Dagny Bo by Dagny Ada" in text(desk.get(f"/people/{leaver.pk}/jobs/"))
    acts = PersonAct.objects.filter(act__in=("jobs_handed_on", "jobs_taken_on"))
    assert {(a.person, a.act, a.by.username) for a in acts} == {
        (leaver, "jobs_handed_on", "ada"),
        (taker, "jobs_taken_on", "ada"),
    }


def test_who_takes_over_is_told_and_has_it_on_the_account_page(desk, job, leaver, taker):
    handed(desk, leaver, [f"swap-{job.swap.pk}"], taker)

    page = signed_in(taker).get("/account/")

    assert "handed you" in Notice.objects.get(to=taker).words
    assert f'href="/swaps/{job.swap.pk}/"' in page.content.decode()
    assert f"handed on from {leaver.shown_name}" in text(page)


def test_what_was_taken_over_is_handed_further(desk, job, leaver, taker):
    key, third = f"swap-{job.swap.pk}", a_member("cy", "technician")
    handed(desk, leaver, [key], taker)

    handed(desk, taker, [key], third)

    assert [row.taker for row in JobHandedOn.objects.order_by("pk")] == [taker, third]
    assert "handed on to Dagny Cy" in text(desk.get(f"/people/{leaver.pk}/jobs/"))


def test_what_cannot_be_handed_on_is_said_at_its_field_and_nothing_is_half_done(
    desk, job, leaver, taker
):
    key = f"swap-{job.swap.pk}"
    gone = a_member("gone", "technician", is_active=False)
    auditor = a_member("au", "auditor")
    tries = [
        ([key], leaver, "taker", "the same person"),
        ([key], gone, "taker", "deactivated"),
        ([key], auditor, "taker", "roles do not allow"),
        ([key], None, "taker", "Choose the person"),
        ([], taker, "jobs", "Tick what is handed on"),
        ([key, "swap-99999"], taker, "jobs", "not among the open jobs"),
        ([key, "rubbish\x00"], taker, "jobs", ""),
    ]
    for jobs, to, field, words in tries:
        answer = handed(desk, leaver, jobs, to)
        errors = answer.context["form"].errors
        assert field in errors and words in str(errors[field]), (jobs, to, errors)
    assert not JobHandedOn.objects.exists()
    assert not Notice.objects.exists()


def test_handed_on_twice_is_said(desk, job, leaver, taker):
    handed(desk, leaver, [f"swap-{job.swap.pk}"], taker)

    answer = handed(desk, leaver, [f"swap-{job.swap.pk}"], a_member("cy", "technician"))

    assert "handed on already, to Dagny Bo" in text(answer)
    assert JobHandedOn.objects.count() == 1


def test_programs_list_and_hand_on(ada, job, leaver, taker):
    secret = make_token(by=ada, user=ada, label="p", role="administrator", at=NOW).secret
    program = APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}")
    listed = program.get(f"/api/v1/people/{leaver.pk}/jobs").json()
    [found] = listed["jobs"]
    assert (found["job"], found["handed_on_to"]) == (f"swap-{job.swap.pk}", None)
    body = {"act_id": str(uuid4()), "jobs": [found["job"]], "taker": "bo", "words": "Left."}

    answers = [
        program.post(f"/api/v1/people/{leaver.pk}/jobs", body, format="json") for _ in range(2)
    ]

    assert [answer.status_code for answer in answers] == [201, 200]
    [after] = answers[0].json()["jobs"]
    assert (after["handed_on_to"], after["handed_on_by"]) == ("bo", "ada")
    assert after["handed_on_at"]
    for job_sent, status in (("swap-99999", 422), ("swap-1\x00", 400)):
        other = {**body, "act_id": str(uuid4()), "jobs": [job_sent]}
        refused = program.post(f"/api/v1/people/{leaver.pk}/jobs", other, format="json")
        assert refused.status_code == status
    assert JobHandedOn.objects.get().token.label == "p"


def test_a_clerk_hands_nobodys_jobs_on(job, leaver, taker):
    answer = handed(signed_in(a_member("cl", "stores")), leaver, [f"swap-{job.swap.pk}"], taker)

    assert answer.status_code == 403
    assert not JobHandedOn.objects.exists()


def test_what_was_handed_on_is_never_changed(desk, job, leaver, taker):
    handed(desk, leaver, [f"swap-{job.swap.pk}"], taker)

    with pytest.raises(DatabaseError), transaction.atomic():
        JobHandedOn.objects.update(words="x")
