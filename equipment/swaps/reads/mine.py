"""What waits for one person on the line: calls, answers, what was not accepted, what was handed over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Exists, OuterRef, QuerySet

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import InspectorCall, Signature, StepEntry, Swap
from fleet.house.desks import may
from fleet.models import User

from .whereabouts import Call, calls, wait_words

MOST = 20


@dataclass(frozen=True, slots=True)
class Told:
    """One thing told to a person, of a swap, or of a step of it."""

    swap_id: int
    place: str
    words: str
    at: datetime
    step_number: int | None = None


@dataclass(frozen=True, slots=True)
class Mine:
    """What waits for a person: an inspector's calls, and what others said to them."""

    calls: list[Call]
    answers: list[Told]
    not_accepted: list[Told]
    handed_over: list[Told]

    @property
    def is_empty(self) -> bool:
        return not (self.calls or self.answers or self.not_accepted or self.handed_over)


def mine_of(user: User, now: datetime) -> Mine:
    """Everything that waits for this person, the longest first: a fixed number of questions."""
    return Mine(
        calls=calls(now) if may(user, "inspect_step") else [],
        answers=_answers(user, now),
        not_accepted=_not_accepted(user),
        handed_over=_handed_over(user),
    )


def _answers(user: User, now: datetime) -> list[Told]:
    """The calls that this person made, answered and not ended."""
    found = InspectorCall.objects.filter(ended_at=None, swap__end=None, called_by=user)
    found = found.exclude(coming_at=None).select_related("step", "coming_by", *_of_swap())
    told = []
    for each in found.order_by("coming_at", "pk")[:MOST]:
        assert each.coming_by is not None and each.coming_at is not None
        words = f"{each.coming_by.shown_name} is coming, answered {wait_words(now - each.coming_at)} ago."
        place = place_words(each.swap.place)
        told.append(Told(each.swap_id, place, words, each.coming_at, each.step.number))
    return told


def _not_accepted(user: User) -> list[Told]:
    """Steps that this person entered, which an inspector refused and nobody has entered anew."""
    anew = StepEntry.objects.filter(
        swap=OuterRef("swap"), step=OuterRef("step"), pk__gt=OuterRef("entry")
    )
    found = _signed(Signature.NOT_ACCEPTED).filter(~Exists(anew), entry__entered_by=user)
    return [
        Told(
            each.swap_id,
            place_words(each.swap.place),
            f"{each.name} did not accept it: {each.reason}",
            each.signed_at,
            each.step.number if each.step else None,
        )
        for each in found.select_related("step")[:MOST]
    ]


def _handed_over(user: User) -> list[Told]:
    """Open swaps that this person took over last, each with the note."""
    later = Signature.objects.filter(
        swap=OuterRef("swap"), sort=Signature.TAKEN, pk__gt=OuterRef("pk")
    )
    found = _signed(Signature.TAKEN).filter(~Exists(later), by=user)
    taken = list(found[:MOST])
    givers = User.objects.in_bulk({each.content["giver"] for each in taken})
    return [_taken(each, givers[each.content["giver"]]) for each in taken]


def handed_over_last(swap: Swap) -> Told | None:
    """The latest handover of a swap with its note; None if there was none."""
    found = Signature.objects.filter(swap=swap, sort=Signature.HANDED).order_by("-pk").first()
    if found is None:
        return None
    return Told(swap.pk, "", f"{found.name}: {found.content['words']}", found.signed_at)


def _taken(signature: Signature, giver: User) -> Told:
    words = f"{giver.shown_name} handed it over: {signature.content['words']}"
    return Told(signature.swap_id, place_words(signature.swap.place), words, signature.signed_at)


def _signed(sort: str) -> QuerySet[Signature]:
    found = Signature.objects.filter(sort=sort, swap__end=None).select_related(*_of_swap())
    return found.order_by("signed_at", "pk")


def _of_swap() -> list[str]:
    return [f"swap__place__{part}" for part in PLACE_PARTS]
