"""Signatures of one step: its sign-off, its independent inspection, a reinspection by the same person."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.judging.signing import (
    INSPECT,
    SIGN_STEP,
    StepToSign,
    authorisation_for,
    why_not_authorised,
    why_not_inspect,
    why_not_reinspect,
    why_not_sign,
)
from equipment.judging.verdicts import Problem
from equipment.models import InspectorCall, Signature, Step, Swap
from equipment.swaps.contents import Content, data_revision, digest_of, of_step, statement_of
from equipment.swaps.people import authorisations_of, performers_of, person_of, rules_of
from equipment.swaps.rows import INSPECTIONS, SwapRows, day_of, kind_of, rows_of, type_of
from equipment.swaps.state import mark_of
from fleet.desks import ask
from fleet.models import Authorisation
from fleet.proofs import Proof, refuse_stale
from fleet.refusals import Refused

from ._held import hold_swap, of_another, refuse_all, refuse_ended, refuse_long, step_of

MOST_STATEMENT = 600


@dataclass(frozen=True, slots=True)
class Signing:
    """One signature about to be given: by whom, on which rows, when."""

    rows: SwapRows
    proof: Proof
    act_id: UUID
    at: datetime
    sender_at: datetime | None = None


@transaction.atomic
def sign_step(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will sign off a step as it stands, after it was done and within its tolerance.

    Refuses stale credentials, a step not done, off tolerance or not judged, one whose movement is
    not recorded yet, one signed already, and whoever has no authorisation for it that day.
    """
    ask(proof.user, "sign_step")
    refuse_stale(proof, at)
    swap = hold_swap(swap_id)
    if done := _done_before(act_id, swap_id, step_id, Signature.STEP):
        return done
    refuse_ended(swap)
    step, rows = step_of(swap, step_id), rows_of(swap)
    _refuse_unsignable(rows, step)
    person, on = person_of(proof.user), day_of(swap, at)
    entry = rows.entry(step.pk)
    to_sign = StepToSign(
        step.number, step.words, type_of(swap), kind_of(swap), entry.entered_at if entry else None
    )
    _refuse(why_not_sign(to_sign, person, authorisations_of(proof.user), on, at))
    signing = Signing(rows, proof, act_id, at, sender_at)
    return _of_step(signing, step, Signature.STEP, SIGN_STEP)


def _refuse_unsignable(rows: SwapRows, step: Step) -> None:
    entry = rows.entry(step.pk)
    if entry is None:
        return  # told by the rule itself
    if entry.verdict == "out":
        words = f"Step {step.number} is off tolerance. {entry.sentence} Put it right, then sign."
        raise Refused("step_out_of_tolerance", words, "step")
    if entry.verdict == "cannot_judge":
        words = f"Step {step.number} is not judged. {entry.sentence}"
        raise Refused("step_not_judged", words, "step")
    if step.posts and rows.move_of(step) is None:
        words = f"Step {step.number} records the {step.posts}: record it first, then sign."
        raise Refused("movement_not_recorded", words, "step")
    mark = mark_of(rows, step, Signature.STEP)
    if mark is not None and mark.is_current:
        words = f"{mark.by.name} has signed step {step.number} as it stands."
        raise Refused("signed_already", words, "step")


@transaction.atomic
def inspect_step(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will sign that a second person inspected a step, after its sign-off.

    Refuses whoever took part in the step (entered, signed, recorded or handed over with it in
    hand), a step that is not signed off as it stands, and whoever is not listed for it that day.
    """
    ask(proof.user, "inspect_step")
    refuse_stale(proof, at)
    swap = hold_swap(swap_id)
    if done := _done_before(act_id, swap_id, step_id, Signature.INSPECTION):
        return done
    refuse_ended(swap)
    step, rows = step_of(swap, step_id), rows_of(swap)
    _refuse_inspected(rows, step)
    signed = mark_of(rows, step, Signature.STEP)
    problems = why_not_inspect(
        [person_of(user) for user in performers_of(rows, step)],
        person_of(proof.user),
        rules_of(swap.rule_set),
        authorisations_of(proof.user),
        day_of(swap, at),
        aircraft_type=type_of(swap),
        kind=kind_of(swap),
        work_signed_at=signed.at if signed and signed.is_current else None,
        at=at,
    )
    _refuse(problems)
    signing = Signing(rows, proof, act_id, at, sender_at)
    made = _of_step(signing, step, Signature.INSPECTION, INSPECT)
    _end_calls(swap, step, proof, at)
    return made


@transaction.atomic
def reinspect_step(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    reason: str,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will sign that whoever did a step inspected it again, nobody else being there.

    Only where the rule set has it, with the unforeseen circumstances named, after the sign-off and
    before the release. Refuses whoever took no part: that is an ordinary inspection.
    """
    ask(proof.user, "sign_step")
    refuse_stale(proof, at)
    refuse_long(reason, 200, "reason")
    swap = hold_swap(swap_id)
    if done := _done_before(act_id, swap_id, step_id, Signature.REINSPECTION):
        return done
    refuse_ended(swap)
    step, rows = step_of(swap, step_id), rows_of(swap)
    _refuse_inspected(rows, step)
    _refuse(_why_not_again(rows, step, proof, reason, at))
    signing = Signing(rows, proof, act_id, at, sender_at)
    made = _of_step(signing, step, Signature.REINSPECTION, SIGN_STEP, reason=reason.strip())
    _end_calls(swap, step, proof, at)
    return made


def _why_not_again(
    rows: SwapRows, step: Step, proof: Proof, reason: str, at: datetime
) -> list[Problem]:
    swap, person = rows.swap, person_of(proof.user)
    signed = mark_of(rows, step, Signature.STEP)
    found = why_not_reinspect(rules_of(swap.rule_set), reason)
    if proof.user.pk not in {user.pk for user in performers_of(rows, step)}:
        words = f"{person.name} took no part in this step: that is an ordinary inspection."
        found.append(Problem("not_own_work", words))
    if signed is None or not signed.is_current:
        words = "The work is not signed off yet: inspect it then."
        found.append(Problem("work_not_signed", words))
    elif at < signed.at:
        words = "The inspection cannot be before the sign-off of the work."
        found.append(Problem("inspected_before_sign_off", words))
    return found + why_not_authorised(
        SIGN_STEP, person, authorisations_of(proof.user), day_of(swap, at),
        aircraft_type=type_of(swap), kind=kind_of(swap),
    )  # fmt: skip


def _refuse_inspected(rows: SwapRows, step: Step) -> None:
    if not step.is_inspected:
        words = f"Step {step.number} is not one that a second person inspects."
        raise Refused("not_to_be_inspected", words, "step")
    mark = mark_of(rows, step, *INSPECTIONS)
    if mark is not None and mark.is_current:
        words = f"{mark.by.name} has inspected step {step.number} as it stands."
        raise Refused("inspected_already", words, "step")


def _refuse(problems: list[Problem]) -> None:
    refuse_all([each.as_refusal() for each in problems])


def _done_before(act_id: UUID, swap_id: int, step_id: int, sort: str) -> Signature | None:
    done = Signature.objects.filter(act_id=act_id).first()
    if done is not None and (done.swap_id, done.step_id, done.sort) != (swap_id, step_id, sort):
        raise of_another("signature")
    return done


def _of_step(signing: Signing, step: Step, sort: str, act: str, *, reason: str = "") -> Signature:
    content = of_step(signing.rows, step, sort, signing.proof.user.pk)
    statement = _with_words(statement_of(signing.rows.swap, sort), step)
    made = signature_of(signing, sort, content, statement, act)
    made.step, made.entry, made.reason = step, signing.rows.entry(step.pk), reason
    made.save()
    return made


def _with_words(statement: str, step: Step) -> str:
    """The statement with the step's own words, which the content has in full if they are long."""
    words = f"{statement} Step {step.number}: {step.words}"
    return words if len(words) <= MOST_STATEMENT else f"{words[: MOST_STATEMENT - 1]}…"


def signature_of(
    signing: Signing, sort: str, content: Content, statement: str, act: str | None
) -> Signature:
    """A signature not saved yet; the authorisation that allows ``act`` is copied into it."""
    swap, user = signing.rows.swap, signing.proof.user
    held = _authorisation(signing, act) if act else None
    return Signature(
        act_id=signing.act_id,
        swap=swap,
        sort=sort,
        by=user,
        name=user.shown_name[:120],
        statement=statement,
        data_revision=data_revision(swap),
        authorisation=held,
        authorisation_words=authorisation_words(held) if held else "",
        content=content,
        digest=digest_of(content),
        signed_at=signing.at,
        sender_at=signing.sender_at,
    )


def _authorisation(signing: Signing, act: str) -> Authorisation | None:
    swap = signing.rows.swap
    fact = authorisation_for(
        act, type_of(swap), kind_of(swap), authorisations_of(signing.proof.user),
        day_of(swap, signing.at),
    )  # fmt: skip
    return Authorisation.objects.get(pk=fact.id) if fact else None


def authorisation_words(held: Authorisation) -> str:
    """``licence Q-123, certifying engineer, stamp 12, until 31 Dec 2027``: as it was when signed."""
    parts = [
        f"{held.get_sort_display()} {held.number}",
        held.title,
        f"stamp {held.stamp}" if held.stamp else "",
        f"until {held.until_on:%d %b %Y}",
    ]
    return ", ".join(part for part in parts if part)[:200]


def _end_calls(swap: Swap, step: Step, proof: Proof, at: datetime) -> None:
    calls = InspectorCall.objects.filter(swap=swap, step=step, ended_at=None)
    for call in calls:
        call.coming_at = call.coming_at or at
        call.coming_by = call.coming_by or proof.user
        call.ended_at = at
        call.save()
