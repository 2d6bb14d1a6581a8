"""Who may sign what, what exactly is signed, and how a later change is noticed."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.common.digests import digest_of
from equipment.models import InspectorCall, Signature, StepEntry
from equipment.swaps.acts import inspect_step, reinspect_step, sign_step, sign_steps
from equipment.swaps.reads.state import state_of
from fleet.house.refusals import Refused
from fleet.models import AuthorisationEnd
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


def step_7(job):
    state = state_of(job.swap, job.now)
    return next(step for step in state.steps if step.number == 7)


def test_a_signature_holds_the_facts_their_digest_and_the_authorisation_in_words(job):
    entry = job.enter(7)

    signature = job.sign(7)

    held = job.technician.authorisations.get()
    assert signature.content["entry"]["typed"] == entry.typed
    assert signature.content["step"]["words"] == "Mount bolts."
    assert signature.digest == digest_of(signature.content)
    assert signature.statement == "I have done this step. Step 7: Mount bolts."
    assert signature.data_revision.startswith("QCM 25-60 revision 7, list LIST-")
    assert (signature.authorisation, held.number in signature.authorisation_words) == (held, True)


def test_a_later_entry_voids_the_sign_off_and_the_inspection(job):
    job.enter(7)
    job.sign(7)
    job.inspect(7)
    assert step_7(job).signed.is_current and step_7(job).inspected.is_current

    job.enter(7, {"value": "63", "drag": "2"})

    assert not step_7(job).signed.is_current
    assert not step_7(job).inspected.is_current


def test_a_value_changed_behind_the_programs_back_voids_the_signature(job, as_owner):
    entry = job.enter(7)
    job.sign(7)

    with as_owner():
        StepEntry.objects.filter(pk=entry.pk).update(typed={"value": "65", "drag": "2"})

    assert not step_7(job).signed.is_current


def test_a_step_not_done_or_off_tolerance_or_not_judged_is_not_signed(job):
    assert codes(job.sign, 7) == ["step_not_done"]
    job.enter(7, {"value": "40", "drag": "2"})
    assert codes(job.sign, 7) == ["step_out_of_tolerance"]
    job.enter(7, tool_code="")
    assert codes(job.sign, 7) == ["step_not_judged"]


def test_a_step_that_records_a_movement_is_signed_after_it(job):
    job.enter(3)
    assert codes(job.sign, 3) == ["movement_not_recorded"]

    job.take_off()

    assert job.sign(3).content["movement"]["unit"] == job.old.pk


def test_another_removal_recorded_voids_the_signature_of_its_step(job):
    job.take_off()
    job.enter(3)
    job.sign(3)

    job.take_off(when=build.on("2027-06-01 07:30"))

    step = next(s for s in state_of(job.swap, job.now).steps if s.number == 3)
    assert step.signed is not None and not step.signed.is_current


def test_a_step_is_signed_once_as_it_stands(job):
    job.enter(7)
    job.sign(7)

    assert codes(job.sign, 7) == ["signed_already"]


def test_the_same_signature_sent_again_is_one(job):
    job.enter(7)
    act, at = uuid4(), job.tick()
    facts = {"swap_id": job.swap.pk, "step_id": job.step(7).pk, "act_id": act, "at": at}

    first, again = (sign_step(proof=swaps.proof_of(job.technician, at), **facts) for _ in "ab")

    assert first == again


@pytest.mark.parametrize("who", ["entered", "signed"])
def test_who_took_part_does_not_inspect(job, who):
    inspector = swaps.an_inspector()
    job.enter(7, by=inspector if who == "entered" else None)
    job.sign(7, by=inspector if who == "signed" else None)

    assert codes(job.inspect, 7, by=inspector) == ["inspects_own_work"]


def test_who_recorded_the_movement_of_a_step_took_part_in_it(job):
    inspector = swaps.an_inspector()
    job.take_off(by=inspector)

    state = next(step for step in state_of(job.swap, job.now).steps if step.number == 3)

    assert [person.id for person in state.performers] == [inspector.pk]


def test_who_handed_over_with_the_step_in_hand_does_not_inspect_it(job):
    inspector = swaps.an_inspector()
    job.enter(1)
    job.sign(1)
    job.take_off()
    job.put_on()
    for number in (3, 6):
        job.enter(number)
        job.sign(number)
    at = job.tick()
    swaps.swaps.hand_over_swap(
        giver=swaps.proof_of(inspector, at),
        taker=swaps.proof_of(job.technician, at),
        swap_id=job.swap.pk,
        words="torque half done",
        act_id=uuid4(),
        at=at,
    )
    job.enter(7)
    job.sign(7)

    assert codes(job.inspect, 7, by=inspector) == ["inspects_own_work"]
    assert job.inspect(7).by == job.inspector


def test_an_inspection_follows_the_sign_off(job):
    job.enter(7)

    assert codes(job.inspect, 7) == ["work_not_signed"]


def test_only_steps_that_ask_for_it_are_inspected(job):
    job.enter(1)
    job.sign(1)

    assert codes(job.inspect, 1) == ["not_to_be_inspected"]


def test_an_inspection_ends_the_call_of_the_inspector(job):
    job.enter(7)
    job.sign(7)
    call = swaps.swaps.call_inspector(
        by=job.technician,
        swap_id=job.swap.pk,
        step_id=job.step(7).pk,
        act_id=uuid4(),
        at=job.tick(),
    )

    job.inspect(7)

    call = InspectorCall.objects.get(pk=call.pk)
    assert call.coming_by == job.inspector and call.ended_at == job.now


# --- authorisations ---------------------------------------------------------------------------


def test_without_an_authorisation_a_role_signs_nothing(job):
    job.enter(7)

    assert codes(job.sign, 7, by=build.a_person("technician")) == ["not_authorised"]


def test_an_authorisation_of_another_kind_or_day_does_not_count(job):
    other, expired, ended = (build.a_person("technician") for _ in range(3))
    swaps.an_authorisation(other, "sign_step", kinds=["OTHER"])
    swaps.an_authorisation(expired, "sign_step", until=build.day("2027-05-31"))
    held = swaps.an_authorisation(ended, "sign_step")
    AuthorisationEnd.objects.create(
        authorisation=held, ended_on=build.day("2027-06-01"), reason="left", recorded_at=build.NOW
    )
    job.enter(7)

    assert codes(job.sign, 7, by=other) == ["not_listed"]
    assert codes(job.sign, 7, by=expired) == ["authorisation_expired"]
    assert codes(job.sign, 7, by=ended) == ["authorisation_expired"]


@pytest.mark.parametrize("act", [sign_step, inspect_step])
@pytest.mark.parametrize("age", [timedelta(minutes=2, seconds=1), timedelta(seconds=-1)])
def test_credentials_entered_long_ago_sign_nothing(job, act, age):
    job.enter(7)
    who = job.technician if act is sign_step else job.inspector
    proof = swaps.proof_of(who, job.now - age)

    told = codes(
        act, proof=proof, swap_id=job.swap.pk, step_id=job.step(7).pk, act_id=uuid4(), at=job.now
    )

    assert told == ["credentials_stale"]


# --- one person alone -------------------------------------------------------------------------


def reinspected(job, reason="a storm closed the station", by=None, inspector=None):
    at = job.tick()
    assigned = job.inspector.username if inspector is None else inspector
    return reinspect_step(
        proof=swaps.proof_of(by or job.technician, at),
        swap_id=job.swap.pk,
        step_id=job.step(7).pk,
        reason=reason,
        inspector=assigned,
        act_id=uuid4(),
        at=at,
    )


def test_reinspection_exists_only_where_the_rule_set_has_it(job):
    job.enter(7)
    job.sign(7)

    assert codes(reinspected, job) == ["no_reinspection"]


def test_reinspection_by_the_same_person_is_recorded_as_such_with_its_reason():
    swaps.a_rule_set(may_reinspect=True)
    job = swaps.a_job(swaps.SHORT)
    job.open()
    job.enter(7)
    job.sign(7)

    assert codes(reinspected, job, "too late") == ["reason_needed"]
    assert codes(reinspected, job, by=swaps.a_technician()) == ["not_own_work"]
    reinspected(job)

    mark = step_7(job).inspected
    assert (mark.is_reinspection, mark.reason) == (True, "a storm closed the station")
    assert Signature.objects.get(sort="reinspection").assigned == job.inspector


def test_a_shift_without_an_inspector_is_not_unforeseen():
    # AMC4 145.A.48(b)(d): "cannot be considered unforeseen if … not assigned a suitable
    # 'independent qualified person' to that … shift".
    swaps.a_rule_set(may_reinspect=True)
    job = swaps.a_job(swaps.SHORT)
    job.open()
    job.enter(7)
    job.sign(7)

    nobody, oneself, another = "", job.technician.username, swaps.a_technician().username
    for inspector in (nobody, "nobody.there", oneself, another):
        assert codes(reinspected, job, inspector=inspector) == ["not_unforeseen"], inspector


# --- many at once -----------------------------------------------------------------------------


def test_several_steps_are_signed_at_one_entering_of_the_password_or_none(job):
    for number in (1, 7):
        job.enter(number)
    at = job.tick()
    facts = {"proof": swaps.proof_of(job.technician, at), "swap_id": job.swap.pk, "at": at}
    wrong = {job.step(number).pk: uuid4() for number in (1, 7, 13)}
    assert codes(sign_steps, steps=wrong, **facts) == ["step_not_done"]
    assert not job.swap.signatures.exists()

    steps = {job.step(number).pk: uuid4() for number in (1, 7)}
    first, again = sign_steps(steps=steps, **facts), sign_steps(steps=steps, **facts)

    assert [s.step_id for s in first] == list(steps) and first == again
    assert job.swap.signatures.count() == 2
