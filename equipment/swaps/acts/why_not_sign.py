"""Why a person may not sign a step off, inspect it or inspect it again: the rows, asked by the pure rules."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.judging.release.signing import (
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
from equipment.models import Signature, Step, StepEntry
from equipment.swaps.reads.contents import not_accepted
from equipment.swaps.reads.people import authorisations_of, performers_of, person_of, rules_of
from equipment.swaps.reads.rows import INSPECTIONS, SwapRows, day_of, kind_of, type_of
from equipment.swaps.reads.state import mark_of
from fleet.models import User

from .signature import Signing


@dataclass(frozen=True, slots=True)
class Unforeseen:
    """Why nobody else could inspect: the circumstances, and the inspector assigned to the shift.

    ``inspector`` is the username as it was said, ``assigned`` who that is, if anybody.
    """

    reason: str = ""
    inspector: str = ""
    assigned: User | None = None


NO_REASON = Unforeseen()


def unforeseen(reason: str, inspector: str) -> Unforeseen:
    """What was said of a reinspection, with the person who was named."""
    name = inspector.strip()[:150]
    found = User.objects.filter(username__iexact=name).first() if name else None
    return Unforeseen(reason, name, found)


def why_not_sign_off(signing: Signing, step: Step, why: Unforeseen) -> list[Problem]:
    """Why this person may not sign off this step as it stands."""
    rows, swap = signing.rows, signing.rows.swap
    entry = rows.entry(step.pk)
    if problem := _why_unsignable(signing, step):
        return [problem]
    to_sign = StepToSign(
        step.number, step.words, type_of(swap), kind_of(swap), entry.entered_at if entry else None
    )
    person, on = person_of(signing.proof.user), day_of(swap, signing.at)
    return why_not_sign(to_sign, person, signing.authorisations, on, signing.at)


def _why_unsignable(signing: Signing, step: Step) -> Problem | None:
    rows = signing.rows
    entry = rows.entry(step.pk)
    if entry is None:
        return None  # told by the rule itself
    if problem := _why_unfit(rows, step, entry):
        return problem
    if step.posts and rows.move_of(step) is None:
        words = f"Step {step.number} records the {step.posts}: record it first, then sign."
        return Problem("movement_not_recorded", words, "step")
    mark = mark_of(rows, step, Signature.STEP)
    if mark is not None and mark.is_current:
        words = f"{mark.by.name} has signed step {step.number} as it stands."
        return Problem("signed_already", words, "step")
    return None


def _why_unfit(rows: SwapRows, step: Step, entry: StepEntry) -> Problem | None:
    """What is wrong with the entry itself: an inspector refused it, it is off tolerance, not judged."""
    if refused := not_accepted(rows, step):
        why = refused.reason.rstrip(".")
        words = (
            f"{refused.name} did not accept step {step.number}, because: {why}. Do it again and enter it"
            " anew, then sign."
        )
        return Problem("step_not_accepted", words, "step")
    if entry.verdict == "out":
        words = f"Step {step.number} is off tolerance. {entry.sentence} Put it right, then sign."
        return Problem("step_out_of_tolerance", words, "step")
    if entry.verdict == "cannot_judge":
        words = f"Step {step.number} is not judged. {entry.sentence}"
        return Problem("step_not_judged", words, "step")
    return None


def why_not_looked_at(signing: Signing, step: Step, why: Unforeseen) -> list[Problem]:
    """Why this person may not sign that a second person inspected this step."""
    rows, swap = signing.rows, signing.rows.swap
    if problem := _why_uninspectable(signing, step):
        return [problem]
    signed = mark_of(rows, step, Signature.STEP)
    return why_not_inspect(
        [person_of(user) for user in performers_of(rows, step)],
        person_of(signing.proof.user),
        rules_of(swap.rule_set),
        signing.authorisations,
        day_of(swap, signing.at),
        aircraft_type=type_of(swap),
        kind=kind_of(swap),
        work_signed_at=signed.at if signed and signed.is_current else None,
        at=signing.at,
    )


def why_not_looked_again(signing: Signing, step: Step, why: Unforeseen) -> list[Problem]:
    """Why this person may not sign that they inspected their own step again."""
    rows, swap, person = signing.rows, signing.rows.swap, person_of(signing.proof.user)
    if problem := _why_uninspectable(signing, step):
        return [problem]
    signed = mark_of(rows, step, Signature.STEP)
    found = why_not_reinspect(
        rules_of(swap.rule_set),
        why.reason,
        was_inspector_assigned=_was_assigned(signing, why.assigned),
    )
    if signing.proof.user.pk not in {user.pk for user in performers_of(rows, step)}:
        words = f"{person.name} took no part in this step: that is an ordinary inspection."
        found.append(Problem("not_own_work", words))
    if signed is None or not signed.is_current:
        words = "The work is not signed off yet: inspect it then."
        found.append(Problem("work_not_signed", words))
    elif signing.at < signed.at:
        words = "The inspection cannot be before the sign-off of the work."
        found.append(Problem("inspected_before_sign_off", words))
    return found + why_not_authorised(
        SIGN_STEP,
        person,
        signing.authorisations,
        day_of(swap, signing.at),
        aircraft_type=type_of(swap),
        kind=kind_of(swap),
    )


def _was_assigned(signing: Signing, inspector: User | None) -> bool:
    """Whether somebody else, who may inspect this that day, had been assigned to the shift."""
    swap = signing.rows.swap
    if inspector is None or inspector.pk == signing.proof.user.pk or not inspector.is_active:
        return False
    held = authorisations_of(inspector)
    day, kind, craft = day_of(swap, signing.at), kind_of(swap), type_of(swap)
    return authorisation_for(INSPECT, craft, kind, held, day) is not None


def _why_uninspectable(signing: Signing, step: Step) -> Problem | None:
    if not step.is_inspected:
        words = f"Step {step.number} is not one that a second person inspects."
        return Problem("not_to_be_inspected", words, "step")
    mark = mark_of(signing.rows, step, *INSPECTIONS)
    if mark is not None and mark.is_current:
        words = f"{mark.by.name} has inspected step {step.number} as it stands."
        return Problem("inspected_already", words, "step")
    return None
