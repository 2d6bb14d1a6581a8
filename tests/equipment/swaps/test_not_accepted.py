"""An inspector looks and does not accept: no work of theirs; and steps that cover what is to be seen."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.judging.steps.step_lists import NewStep, why_not_steps
from equipment.models import InspectorCall, Signature, StepEntry
from equipment.swaps.acts import call_inspector
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from tests import builders_swaps as swaps
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
PASSWORD = "a-long-password-1"
#: As the shortest swap, with pins that cover the torque.
COVERING = tuple(
    (*row[:5], {**row[5], "covers": [7]}) if row[0] == 13 else row for row in swaps.SHORT
)


def a_signed_torque(rows=swaps.SHORT):
    job = swaps.a_job(rows)
    job.open()
    job.enter(7)
    job.sign(7)
    return job


@pytest.fixture
def job():
    return a_signed_torque()


def codes(act, *args, **more):
    with pytest.raises(Refused) as told:
        act(*args, **more)
    return [each.code for each in told.value.refusals]


def step_7(job):
    return next(step for step in state_of(job.swap, job.now).steps if step.number == 7)


def obstacles_at(job, number):
    found = stands_in_the_way(state_of(job.swap, job.now))
    return [each.code for each in found if each.step_number == number]


def test_what_is_not_accepted_is_no_work_of_the_inspector_who_may_inspect_it_once_it_is_done_again(
    job,
):
    job.refuse(7)

    job.enter(7, {"value": "63", "drag": "2"})
    job.sign(7)
    job.inspect(7)

    assert obstacles_at(job, 7) == []


def test_what_is_not_accepted_stands_with_its_reason_and_keeps_the_swap_from_release(job):
    job.refuse(7, reason="The bolt head is rounded.")

    [obstacle] = [
        each for each in stands_in_the_way(state_of(job.swap, job.now)) if each.step_number == 7
    ]

    assert obstacle.code == "inspection_not_accepted"
    assert f"was not accepted by {job.inspector.shown_name}, because: The bolt head is rounded" in (
        obstacle.sentence
    )
    assert not step_7(job).signed.is_current


def test_what_was_not_accepted_is_neither_signed_nor_inspected_as_it_stands(job):
    job.refuse(7)

    assert codes(job.sign, 7) == ["step_not_accepted"]
    assert "work_not_signed" in codes(job.inspect, 7)
    assert "work_not_signed" in codes(job.refuse, 7)


def test_who_did_the_work_or_gives_no_reason_refuses_nothing(job):
    assert "inspects_own_work" in codes(
        job.refuse, 7, by=job.technician
    ) or "not_permitted" in codes(job.refuse, 7, by=job.technician)
    assert codes(job.refuse, 7, reason=" ") == ["missing"]
    assert not Signature.objects.filter(sort=Signature.NOT_ACCEPTED).exists()


def test_a_refusal_answers_the_call(job):
    facts = {"swap_id": job.swap.pk, "step_id": job.step(7).pk, "at": job.tick()}
    call_inspector(by=job.technician, act_id=uuid4(), **facts)

    job.refuse(7)

    call = InspectorCall.objects.get()
    assert (call.coming_by, call.ended_at is not None) == (job.inspector, True)


def test_a_step_that_covers_another_waits_for_its_inspection():
    job = a_signed_torque(COVERING)
    job.enter(1)

    waits = codes(job.enter, 13)
    job.inspect(7)
    job.enter(13)

    assert waits == ["inspection_waited_for"]
    assert StepEntry.objects.filter(step=job.step(13)).count() == 1


def test_a_step_that_covers_what_was_not_accepted_waits_too():
    job = a_signed_torque(COVERING)
    job.enter(1)
    job.refuse(7)

    assert codes(job.enter, 13) == ["inspection_waited_for"]


def test_what_was_covered_before_it_was_inspected_is_uncovered_again():
    job = a_signed_torque(COVERING)
    job.enter(1)
    job.inspect(7)
    job.enter(13)
    job.sign(13)

    job.enter(7, {"value": "63", "drag": "2"})
    job.sign(7)
    job.inspect(7)

    assert "covered_before_inspection" in obstacles_at(job, 13)


@pytest.mark.parametrize(
    ("covers", "is_good"), [((2,), True), ((1,), False), ((3,), False), ((9,), False)]
)
def test_what_is_covered_is_an_inspected_step_before(covers, is_good):
    steps = [
        NewStep(1, "install", "confirm", "Lay the hose."),
        NewStep(2, "install", "confirm", "Hose straight.", is_inspected=True),
        NewStep(3, "install", "confirm", "Lay the pack over it.", covers=covers),
    ]

    assert [each.code for each in why_not_steps(steps)] == ([] if is_good else ["nothing_to_cover"])


# --- pages ------------------------------------------------------------------------------------


def test_the_inspector_refuses_from_the_page_and_the_step_says_so(job):
    job.inspector.set_password(PASSWORD)
    job.inspector.save(update_fields=["password"])
    sent = {"act_id": uuid4(), "what": "refusal", "step": "7", "back": "7"}
    sent |= {"reason": "Washer missing.", "username": job.inspector.username, "password": PASSWORD}

    with time_machine.travel(job.tick(), tick=False):
        desk = signed_in(job.inspector)
        desk.post(reverse("equipment:swap_sign", args=[job.swap.pk]), sent)
        page = desk.get(reverse("equipment:swap_step", args=[job.swap.pk, 7])).content.decode()

    assert Signature.objects.get(sort=Signature.NOT_ACCEPTED).reason == "Washer missing."
    assert "Not accepted, because: Washer missing." in page
    assert "Sign off this step" not in page


def test_the_page_of_a_covering_step_says_what_it_waits_for():
    job = a_signed_torque(COVERING)
    desk = signed_in(job.technician)
    address = reverse("equipment:swap_step", args=[job.swap.pk, 13])

    page = desk.get(address).content.decode()
    job.inspect(7)
    later = desk.get(address).content.decode()

    assert "Hold point." in page
    assert "step 7, “Mount bolts”" in page
    assert "Hold point." not in later
