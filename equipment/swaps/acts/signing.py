"""Signatures of steps: sign-off, independent inspection, reinspection by the same person.

Any number of a swap's steps at one entering of the password, all or none; one step is a batch of one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.texts import refuse_all
from equipment.judging.release.signing import INSPECT, SIGN_STEP
from equipment.judging.verdicts import Problem
from equipment.models import InspectorCall, Signature, Step, Swap
from equipment.swaps.reads.contents import of_step, statement_of
from equipment.swaps.reads.rows import INSPECTIONS, rows_of
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.refusals import Refusal, Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.people.proofs import Proof, refuse_stale

from .held import lock_swap, refuse_ended
from .signature import Signing, signature_of
from .why_not_sign import (
    NO_REASON,
    Unforeseen,
    unforeseen,
    why_not_looked_again,
    why_not_looked_at,
    why_not_sign_off,
)

MOST_STATEMENT, MOST_REASON = 600, 200


@dataclass(frozen=True, slots=True)
class _Sort:
    """A sort of signature on a step: who may open its door, under which authorisation, why not."""

    name: str
    code: str
    door: str
    act: str
    why_not: Callable[[Signing, Step, Unforeseen], list[Problem]]


def sign_steps(
    *,
    proof: Proof,
    swap_id: int,
    steps: Mapping[int, UUID],
    at: datetime,
    sender_at: datetime | None = None,
) -> list[Signature]:
    """This will sign off steps as they stand, after they were done and within their tolerance.

    ``steps`` has the id of each signature's act by the step's key. Refuses stale credentials, a step
    not done, off tolerance or not judged, one whose movement is not recorded yet, one signed
    already, and whoever has no authorisation for it that day; with every step's reasons at once.
    """
    return _signed(_STEP, Signings(proof, swap_id, steps, at, sender_at))


def inspect_steps(
    *,
    proof: Proof,
    swap_id: int,
    steps: Mapping[int, UUID],
    at: datetime,
    sender_at: datetime | None = None,
) -> list[Signature]:
    """This will sign that a second person inspected steps, after their sign-off.

    Refuses whoever took part in a step (entered, signed, recorded or handed over with it in hand), a
    step that is not signed off as it stands, and whoever is not listed for it that day.
    """
    return _signed(_INSPECTION, Signings(proof, swap_id, steps, at, sender_at))


def reinspect_steps(
    *,
    proof: Proof,
    swap_id: int,
    steps: Mapping[int, UUID],
    reason: str,
    inspector: str = "",
    at: datetime,
    sender_at: datetime | None = None,
) -> list[Signature]:
    """This will sign that whoever did steps inspected them again, nobody else being there.

    Only where the rule set has it, with the unforeseen circumstances named, after the sign-off and
    before the release. ``inspector`` is the username of who had been assigned to the shift, and may
    inspect these steps: without one it was not unforeseen. Refuses whoever took no part: that is an
    ordinary inspection.
    """
    why = unforeseen(refuse_long(reason, "reason", MOST_REASON), inspector)
    return _signed(_REINSPECTION, Signings(proof, swap_id, steps, at, sender_at, why))


def refuse_inspections(
    *,
    proof: Proof,
    swap_id: int,
    steps: Mapping[int, UUID],
    reason: str,
    at: datetime,
    sender_at: datetime | None = None,
) -> list[Signature]:
    """This will record that a second person inspected steps and does not accept them, and why.

    Their sign-off no longer counts: they are done again, entered anew, signed and inspected. Who
    refuses took no part in the work. Refuses as an inspection does, and without a reason.
    """
    said = refuse_blank(reason, "Say why it is not accepted.", "reason", MOST_REASON)
    why = unforeseen(said, "")
    return _signed(_NOT_ACCEPTED, Signings(proof, swap_id, steps, at, sender_at, why))


def sign_step(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will sign off one step: see :func:`sign_steps`."""
    steps = {step_id: act_id}
    return sign_steps(proof=proof, swap_id=swap_id, steps=steps, at=at, sender_at=sender_at)[0]


def inspect_step(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will sign the inspection of one step: see :func:`inspect_steps`."""
    steps = {step_id: act_id}
    return inspect_steps(proof=proof, swap_id=swap_id, steps=steps, at=at, sender_at=sender_at)[0]


def reinspect_step(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    reason: str,
    act_id: UUID,
    at: datetime,
    inspector: str = "",
    sender_at: datetime | None = None,
) -> Signature:
    """This will sign the reinspection of one step: see :func:`reinspect_steps`."""
    return reinspect_steps(
        proof=proof,
        swap_id=swap_id,
        steps={step_id: act_id},
        reason=reason,
        inspector=inspector,
        at=at,
        sender_at=sender_at,
    )[0]


def refuse_inspection(
    *,
    proof: Proof,
    swap_id: int,
    step_id: int,
    reason: str,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will record that one step is not accepted: see :func:`refuse_inspections`."""
    steps = {step_id: act_id}
    return refuse_inspections(
        proof=proof, swap_id=swap_id, steps=steps, reason=reason, at=at, sender_at=sender_at
    )[0]


@dataclass(frozen=True, slots=True)
class Signings:
    """What is asked for: the steps with their acts' ids, by whom, when."""

    proof: Proof
    swap_id: int
    steps: Mapping[int, UUID]
    at: datetime
    sender_at: datetime | None
    why: Unforeseen = NO_REASON


@transaction.atomic
def _signed(sort: _Sort, asked: Signings) -> list[Signature]:
    ask(asked.proof.user, sort.door)
    refuse_stale(asked.proof, asked.at)
    done = _done_before(sort, asked)
    swap = lock_swap(asked.swap_id)
    left = {step: act for step, act in asked.steps.items() if step not in done}
    if left:
        refuse_ended(swap)
        done |= _given(sort, asked, left, swap)
    return [done[step] for step in asked.steps]


def _done_before(sort: _Sort, asked: Signings) -> dict[int, Signature]:
    """By step, what the same acts gave before; refuses an act that gave something else.

    Each step is claimed by itself, always in the order of their keys: nobody waits in a circle.
    """
    found, by = {}, asked.proof.user
    for step, act in sorted(asked.steps.items()):
        why = {"reason": asked.why.reason}
        if asked.why.inspector:
            why["inspector"] = asked.why.inspector
        told = {"swap_id": asked.swap_id, "step_id": step, "signer": by.pk, **why}
        rows = Signature.objects.filter(act_id=act)
        at, sender_at = asked.at, asked.sender_at
        if claim(act, sort.name, told, by=by, at=at, earlier=[rows], sender_at=sender_at):
            continue
        found[step] = what_was_done(rows.filter(step=step, sort=sort.code))
    return found


def _given(
    sort: _Sort, asked: Signings, left: Mapping[int, UUID], swap: Swap
) -> dict[int, Signature]:
    rows = rows_of(swap)
    own = {step.pk: step for step in rows.steps}
    if set(left) - set(own):
        raise Refused("unknown_step", "This swap has no such step: look it up again.", "step")
    first = Signing(rows, asked.proof, next(iter(left.values())), asked.at, asked.sender_at)
    told = {step: sort.why_not(first, own[step], asked.why) for step in left}
    refuse_all(_all_of(told))
    held = first.held(sort.act)
    made = {}
    for step, act in left.items():
        content = of_step(rows, own[step], sort.code, asked.proof.user.pk)
        words = _with_words(statement_of(swap, sort.code), own[step])
        made[step] = signature_of(first, sort.code, content, words, held)
        made[step].act_id, made[step].reason = act, asked.why.reason
        made[step].assigned = asked.why.assigned
        made[step].step, made[step].entry = own[step], rows.entry(step)
    Signature.objects.bulk_create(made.values())
    if sort.code in (*INSPECTIONS, Signature.NOT_ACCEPTED):
        _end_calls(swap, list(left), asked)
    return made


def _all_of(told: Mapping[int, list[Problem]]) -> list[Refusal]:
    """Every reason once: who may not sign at all is told so once, not for each step."""
    found = [each.as_refusal() for problems in told.values() for each in problems]
    return list(dict.fromkeys(found))


def _with_words(statement: str, step: Step) -> str:
    """The statement with the step's own words, which the content has in full if they are long."""
    words = f"{statement} Step {step.number}: {step.words}"
    return words if len(words) <= MOST_STATEMENT else f"{words[: MOST_STATEMENT - 1]}…"


def _end_calls(swap: Swap, steps: list[int], asked: Signings) -> None:
    for call in InspectorCall.objects.filter(swap=swap, step__in=steps, ended_at=None):
        call.coming_at = call.coming_at or asked.at
        call.coming_by = call.coming_by or asked.proof.user
        call.ended_at = asked.at
        call.save()


_STEP = _Sort("sign_step", Signature.STEP, "sign_step", SIGN_STEP, why_not_sign_off)
_INSPECTION = _Sort(
    "inspect_step", Signature.INSPECTION, "inspect_step", INSPECT, why_not_looked_at
)
_REINSPECTION = _Sort(
    "reinspect_step", Signature.REINSPECTION, "sign_step", SIGN_STEP, why_not_looked_again
)
_NOT_ACCEPTED = _Sort(
    "refuse_inspection", Signature.NOT_ACCEPTED, "inspect_step", INSPECT, why_not_looked_at
)
