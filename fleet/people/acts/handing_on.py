"""The open jobs of one person become another's: said, kept, and told to whoever takes them over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.urls import reverse

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import coded, codes, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask, may
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import why_not_kept
from fleet.models import JobHandedOn, User
from fleet.people.jobs import JobOf, jobs_of

from .ledger import note, person_held
from .notices import tell

MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class HandingOn:
    """Which open jobs of a person go to whom, and what that one must know."""

    person_id: int = number("The person", least=1, name="person")
    jobs: Sequence[str] = codes(
        "Handed on",
        40,
        default=MISSING,
        items=200,
        help="By their names, as the list of jobs has them.",
    )
    taker_id: int = coded(
        "To whom",
        User,
        "username",
        "person",
        name="taker",
        most=150,
        help="The name to sign in with.",
    )
    words: str = text("What must be known", 200, default="")


@transaction.atomic
def hand_on_jobs(
    *,
    by: User,
    person_id: int,
    jobs: Sequence[str],
    taker_id: int,
    words: str,
    act_id: UUID,
    at: datetime,
) -> User:
    """This will hand open jobs of a person, who may be gone, to another, who is told. Nothing that was
    entered or signed changes; a swap in mid-shift is handed over with both signatures instead.

    Refuses an unknown person, no job or one that is not open in the person's hands, and a taker who is
    the same person, deactivated, or whose roles do not allow to go on with it.
    """
    ask(by, "hand_on_jobs")
    told = {"person_id": person_id, "jobs": list(jobs), "taker_id": taker_id, "words": words}
    rows = JobHandedOn.objects.filter(act_id=act_id).select_related("giver")
    if done := done_before(act_id, "hand_on_jobs", told, rows, by=by, at=at):
        return done.giver
    giver = person_held(person_id)
    Reasons(why_not_kept(words, "words", 200)).refuse()
    taker = _taker(giver, taker_id)
    chosen = _chosen(giver, jobs)
    _refuse_roles(taker, chosen)
    _keep(giver, taker, chosen, words.strip(), by=by, act_id=act_id, at=at)
    return giver


def _keep(
    giver: User,
    taker: User,
    chosen: Sequence[JobOf],
    words: str,
    *,
    by: User,
    act_id: UUID,
    at: datetime,
) -> None:
    """Row by row, on both persons' own lists, and a notice to whoever takes over."""
    JobHandedOn.objects.bulk_create(
        JobHandedOn(
            act_id=act_id,
            job=each.job,
            giver=giver,
            taker=taker,
            words=words,
            at=at,
            by=by,
            token=by.acting_token,
        )
        for each in chosen
    )
    named = _named(chosen)
    for act, person, told in (
        ("jobs_handed_on", giver, f"to {taker.shown_name}: {named}"),
        ("jobs_taken_on", taker, f"from {giver.shown_name}: {named}"),
    ):
        note(act, [person], by=by, at=at, words=told, act_id=act_id)
    said = f". {words}" if words else ""
    sentence = f"{by.shown_name} handed you open jobs of {giver.shown_name}: {named}{said}"
    tell(to=taker, words=sentence, link=reverse("fleet:account"), at=at)


def _taker(giver: User, taker_id: int) -> User:
    taker = User.objects.filter(pk=taker_id).first()
    if taker is None:
        raise Refused("unknown_person", "There is no such person: look the name up again.", "taker")
    if taker.pk == giver.pk:
        raise Refused("same_person", "That is the same person: choose who takes over.", "taker")
    if not taker.is_active:
        words = f"{taker.shown_name} is deactivated: choose somebody who can sign in."
        raise Refused("person_deactivated", words, "taker")
    return taker


def _chosen(giver: User, jobs: Sequence[str]) -> list[JobOf]:
    """The jobs that are meant, in the list's order."""
    wanted = set(jobs)
    if not wanted:
        raise Refused("job_missing", "Tick what is handed on.", "jobs")
    known = {each.job: each for each in jobs_of(giver)}
    reasons = Reasons()
    for name in sorted(wanted):
        found = known.get(name)
        if found is None:
            shown = name.replace("\x00", "")[:40]
            words = f"“{shown}” is not among the open jobs of {giver.shown_name}: look at the list again."
            reasons.add("job_not_open", words, "jobs")
        elif found.given is not None:
            words = f"{found.words} is handed on already, to {found.given.taker.shown_name}."
            reasons.add("job_handed_on", words, "jobs")
    reasons.refuse()
    return [each for each in known.values() if each.job in wanted]


def _refuse_roles(taker: User, jobs: Sequence[JobOf]) -> None:
    reasons = Reasons()
    for each in jobs:
        if not may(taker, each.open.needs):
            words = f"{taker.shown_name}’s roles do not allow to go on with it: {each.words}."
            reasons.add("taker_may_not", words, "taker")
    reasons.refuse()


def _named(jobs: Sequence[JobOf]) -> str:
    first = "; ".join(each.words for each in jobs[:MOST_NAMED])
    more = len(jobs) - MOST_NAMED
    return first + (f"; and {more} more" if more > 0 else "")


# --- declared ---------------------------------------------------------------------------------

HAND_ON_JOBS = Act(
    name="hand_on_jobs",
    does=hand_on_jobs,
    said=HandingOn,
    tag="People",
    summary="Hand a person’s open jobs on",
    description="Hands open jobs of a person, who may be deactivated, to another, who is told. Nothing that was "
    "entered or signed changes.",
    address="people/<int:person_id>/jobs",
    in_address=("person_id",),
    example={
        "act_id": EXAMPLE_ID,
        "jobs": ["swap-4"],
        "taker": "d.follows",
        "words": "Step 7 is next.",
    },
)
