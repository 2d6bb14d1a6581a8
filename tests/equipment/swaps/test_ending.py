"""Given up, handed over, corrected: how a swap goes on or ends other than by its release."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.common.digests import digest_of
from equipment.keeping.repair import check_whereabouts
from equipment.ledger.fitted import fitted
from equipment.models import Movement, Signature, SwapEnd
from equipment.swaps.acts import (
    abandon_swap,
    answer_call,
    call_inspector,
    correct_swap,
    hand_over_swap,
)
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    made = swaps.a_job(swaps.SHORT)
    made.open()
    return made


def codes(act, *args, **more):
    with pytest.raises(Refused) as told:
        act(*args, **more)
    return [each.code for each in told.value.refusals]


def abandon(job, reason="the check was put off"):
    return abandon_swap(
        by=job.technician, swap_id=job.swap.pk, reason=reason, act_id=uuid4(), at=job.tick()
    )


def test_a_swap_that_was_not_done_after_all_is_given_up(job):
    job.enter(3)

    end = abandon(job)

    assert (end.sort, end.reason) == ("abandoned", "the check was put off")
    assert codes(job.enter, 3) == ["swap_ended"]
    assert job.open() != end.swap


def test_what_was_begun_is_not_given_up(job):
    job.enter(1)
    assert codes(abandon, job) == ["safety_device_not_back"]
    job.enter(13)

    job.take_off()

    assert codes(abandon, job) == ["swap_has_movements"]


def test_a_reason_is_needed(job):
    assert codes(abandon, job, " ") == ["missing"]


# --- handover ---------------------------------------------------------------------------------


def hand_over(job, taker, giver=None, words="torque is next"):
    at = job.tick()
    return hand_over_swap(
        giver=swaps.proof_of(giver or job.technician, at),
        taker=swaps.proof_of(taker, at),
        swap_id=job.swap.pk,
        words=words,
        act_id=uuid4(),
        at=at,
    )


def test_both_shifts_sign_the_state_and_whose_each_step_is(job):
    job.enter(1)
    job.sign(1)
    job.enter(3)
    night = swaps.a_technician()

    given, taken = hand_over(job, night)

    assert (given.sort, taken.sort) == (Signature.HANDED, Signature.TAKEN)
    assert (given.by, taken.by) == (job.technician, night)
    assert given.content["entries"]["1"]["entered_by"] == job.technician.pk
    assert given.content["in_hand"] == [3, 6]
    assert given.digest == digest_of(given.content)
    assert job.enter(7, by=night).entered_by == night


def test_nobody_hands_over_to_themselves(job):
    assert codes(hand_over, job, job.technician) == ["same_person"]


# --- the inspector ----------------------------------------------------------------------------


def test_the_inspector_is_called_once_and_one_comes(job):
    facts = {"by": job.technician, "swap_id": job.swap.pk, "at": job.now}
    step = job.step(7).pk
    first, again = (call_inspector(**facts, step_id=step, act_id=uuid4()) for _ in "ab")
    assert first == again

    answer_call(by=job.inspector, call_id=first.pk, at=job.tick())

    other = swaps.an_inspector()
    assert codes(answer_call, by=other, call_id=first.pk, at=job.now) == ["call_answered"]
    assert codes(call_inspector, **facts, step_id=job.step(1).pk, act_id=uuid4()) == [
        "not_to_be_inspected"
    ]


# --- correction -------------------------------------------------------------------------------


def released(job):
    job.take_off()
    job.put_on()
    job.do_steps()
    job.release()
    return job.swap


def correct(job, old, by=None):
    job.swap = correct_swap(
        by=by or job.certifier,
        swap_id=old.pk,
        reason="the wrong hour",
        act_id=uuid4(),
        at=job.tick(),
    )
    return job.swap


def test_a_correction_begins_with_nothing_signed_and_the_same_movements(job):
    old = released(job)

    new = correct(job, old)

    state = state_of(new, job.now)
    assert (new.corrects, new.correction_reason) == (old, "the wrong hour")
    assert all(step.verdict is None and step.signed is None for step in state.steps)
    assert state.ledger.is_removal_recorded and state.ledger.is_installation_recorded


def test_the_movements_given_anew_replace_the_old_ones_and_the_original_stays(job):
    old = released(job)
    kept = list(old.signatures.order_by("pk").values())
    correct(job, old)

    job.take_off(when=build.on("2027-06-01 06:00"), by=job.technician)
    job.do_steps()
    job.release()

    assert {row.unit_id for row in fitted(job.aircraft, build.instant("2027-06-01 06:30"))} == set()
    assert Movement.objects.filter(corrects__swap_link__swap=old).count() == 1
    assert list(old.signatures.order_by("pk").values()) == kept
    assert SwapEnd.objects.filter(swap__in=[old, job.swap], sort="released").count() == 2
    assert list(check_whereabouts()) == []


def test_signatures_of_the_old_do_not_count_for_the_new(job):
    correct(job, released(job))

    with pytest.raises(Refused) as told:
        job.release()

    assert {each.code for each in told.value.refusals} == {"step_missing"}


def test_only_a_released_swap_is_corrected_and_only_by_one(job):
    assert codes(correct, job, job.swap) == ["swap_not_released"]
    old = released(job)
    correct(job, old)

    assert codes(correct, job, old) == ["swap_corrected_already"]


def test_after_a_correction_is_given_up_another_may_be_begun(job):
    old = released(job)
    first = correct(job, old)
    abandon(job)

    assert correct(job, old).corrects == first
