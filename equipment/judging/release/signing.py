"""Who may sign off, inspect, reinspect and release: rules of people, over plain facts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from equipment.judging.verdicts import Problem

from .people import (
    INSPECT,
    RELEASE,
    SIGN_STEP,
    AuthorisationFact,
    Person,
    authorisation_for,
    why_not_authorised,
)

__all__ = [
    "INSPECT",
    "RELEASE",
    "SIGN_STEP",
    "AuthorisationFact",
    "Change",
    "Person",
    "RuleSet",
    "StepToSign",
    "authorisation_for",
    "warn_same_mistake",
    "why_not_authorised",
    "why_not_inspect",
    "why_not_reinspect",
    "why_not_release",
    "why_not_sign",
]

LEAST_REASON = 10


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The operator's own rules of signing, as data with its revision.

    ``inspector_acts``: any of these makes an inspector. ``same_mistake_warning``: warn one person
    who changes the same kind of unit twice in one visit.
    """

    code: str
    revision: str
    may_reinspect: bool
    inspector_acts: frozenset[str] = frozenset({INSPECT})
    same_mistake_warning: bool = True


@dataclass(frozen=True, slots=True)
class StepToSign:
    """What a sign-off is about; ``entered_at`` is when its value was entered, None if it was not."""

    number: int
    words: str
    aircraft_type: str | None
    kind: str | None
    entered_at: datetime | None


@dataclass(frozen=True, slots=True)
class Change:
    """One person's change of one kind of unit at one position in one visit."""

    person: Person
    kind: str
    position: str
    visit: str


def why_not_sign(
    step: StepToSign,
    person: Person,
    authorisations: Collection[AuthorisationFact],
    on: date,
    at: datetime | None = None,
) -> list[Problem]:
    """Why a person may not sign off a step: it is not done, or the person is not authorised.

    A sign-off comes only after completion (AMC 145.A.48(c)): not before the value was entered.
    """
    found = []
    if step.entered_at is None:
        sentence = f"Step {step.number} is not done yet: it is signed off after completion."
        found.append(Problem("step_not_done", sentence))
    elif at is not None and at < step.entered_at:
        sentence = f"Step {step.number} cannot be signed off before it was completed."
        found.append(Problem("signed_before_done", sentence))
    return found + why_not_authorised(
        SIGN_STEP,
        person,
        authorisations,
        on,
        aircraft_type=step.aircraft_type,
        kind=step.kind,
    )


def why_not_inspect(
    performers: Collection[Person],
    inspector: Person,
    rules: RuleSet,
    authorisations: Collection[AuthorisationFact],
    on: date,
    *,
    aircraft_type: str | None = None,
    kind: str | None = None,
    work_signed_at: datetime | None,
    at: datetime | None = None,
) -> list[Problem]:
    """Why a person may not inspect a piece of work; ``performers`` are all who took part in it.

    Nobody inspects the own work (14 CFR 121.371(c)); an inspector is listed for that inspection,
    type and day (121.371(d)); the inspection follows the sign-off of the work.
    """
    # Any act of the rule set that makes an inspector will do.
    answers = [
        why_not_authorised(
            act, inspector, authorisations, on, aircraft_type=aircraft_type, kind=kind
        )
        for act in sorted(rules.inspector_acts or {INSPECT})
    ]
    listed = [] if [] in answers else answers[0]
    return [*_own_work(performers, inspector), *_before_the_work(work_signed_at, at), *listed]


def _own_work(performers: Collection[Person], inspector: Person) -> list[Problem]:
    if all(inspector.id != performer.id for performer in performers):
        return []
    sentence = f"{inspector.name} did this work and may not inspect it. Another person must."
    return [Problem("inspects_own_work", sentence)]


def _before_the_work(work_signed_at: datetime | None, at: datetime | None) -> list[Problem]:
    if work_signed_at is None:
        return [Problem("work_not_signed", "The work is not signed off yet: inspect it then.")]
    if at is not None and at < work_signed_at:
        sentence = "The inspection cannot be before the sign-off of the work."
        return [Problem("inspected_before_sign_off", sentence)]
    return []


def why_not_reinspect(
    rules: RuleSet, reason: str, *, was_inspector_assigned: bool = True
) -> list[Problem]:
    """Why one person may not inspect the own work again (AMC4 145.A.48(b)(d)).

    Only if the operator's rules have it, and only in unforeseen circumstances, named; a shift to
    which no inspector was assigned is not unforeseen.
    """
    if not rules.may_reinspect:
        sentence = (
            f"The rules in force, {rules.code} revision {rules.revision}, have no reinspection by "
            "the same person."
        )
        return [Problem("no_reinspection", sentence)]
    found = []
    if len(reason.strip()) < LEAST_REASON:
        sentence = "Say which unforeseen circumstances leave no other inspector."
        found.append(Problem("reason_needed", sentence, "reason"))
    if not was_inspector_assigned:
        sentence = (
            "Name the inspector, authorised for this, who was assigned to this shift: with nobody "
            "assigned it was not unforeseen."
        )
        found.append(Problem("not_unforeseen", sentence, "inspector"))
    return found


def why_not_release(
    person: Person,
    authorisations: Collection[AuthorisationFact],
    on: date,
    *,
    aircraft_type: str | None = None,
    kind: str | None = None,
) -> list[Problem]:
    """Why a person may not release; what stands in the way of the swap itself is `release`'s."""
    return why_not_authorised(
        RELEASE, person, authorisations, on, aircraft_type=aircraft_type, kind=kind
    )


def warn_same_mistake(rules: RuleSet, this: Change, earlier: Sequence[Change]) -> str | None:
    """A warning if one person changes the same kind of unit at a second position in one visit."""
    if not rules.same_mistake_warning:
        return None
    others = sorted(
        {
            change.position
            for change in earlier
            if change.person.id == this.person.id
            and (change.kind, change.visit) == (this.kind, this.visit)
            and change.position != this.position
        }
    )
    if not others:
        return None
    return (
        f"{this.person.name} also changed the {this.kind} at {', '.join(others)} in this visit: "
        "the same mistake can be made twice. Have another person do one, or inspect both."
    )
