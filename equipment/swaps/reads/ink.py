"""What a card says in ink, held against the rules: who signed, whether they might on that day, how late it came."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Q

from equipment.judging.release.obstacles import PHASES_OF_FITTING, Obstacle
from equipment.judging.release.on_card import CardStep, StepOnCard, not_shown, why_not_held
from equipment.judging.release.signing import (
    INSPECT,
    AuthorisationFact,
    authorisation_for,
    why_not_authorised,
)
from equipment.models import Movement, Signature, Step, Swap
from fleet.models import Authorisation, User

from .people import authorisations_of, person_of
from .rows import SwapRows, kind_of, type_of

#: A record made later than this after the work is a finding of its own.
LATEST_DAYS = 30


@dataclass(frozen=True, slots=True)
class Ink:
    """Who signed on paper: the name as it stands there, the stamp, the day."""

    signer: str
    stamp: str
    on: date


def person_who_signed(ink: Ink) -> User | None:
    """The one person on record whose authorisation the stamp is, or whose name the ink is."""
    found: set[int] = set()
    if stamp := ink.stamp.strip():
        held = Authorisation.objects.filter(Q(stamp__iexact=stamp) | Q(number__iexact=stamp))
        found = set(held.values_list("user", flat=True))
    if not found:
        name = " ".join(ink.signer.split()).casefold()
        people = User.objects.filter(authorisations__isnull=False).distinct()
        found = {
            each.pk
            for each in people
            if name in (each.shown_name.casefold(), each.username.casefold())
        }
    return User.objects.get(pk=found.pop()) if len(found) == 1 else None


def authorisation_of(act: str, ink: Ink, swap: Swap) -> AuthorisationFact | None:
    """The authorisation under which this ink could do an act on the day beside it."""
    user = person_who_signed(ink)
    if user is None:
        return None
    return authorisation_for(act, type_of(swap), kind_of(swap), authorisations_of(user), ink.on)


def why_not_inked(act: str, ink: Ink, swap: Swap) -> list[Obstacle]:
    """Why this ink does not count for an act: nobody on record, or not authorised on the day beside it."""
    user = person_who_signed(ink)
    if user is None:
        stamp = f", stamp {ink.stamp.strip()}" if ink.stamp.strip() else ""
        words = (
            f"{ink.signer.strip()}{stamp}, is nobody on record with an authorisation: give the stamp "
            "as the authorisation's number, or have it entered."
        )
        return [Obstacle("signer_unknown", words)]
    problems = why_not_authorised(
        act,
        person_of(user),
        authorisations_of(user),
        ink.on,
        aircraft_type=type_of(swap),
        kind=kind_of(swap),
    )
    return [Obstacle(each.code, each.sentence) for each in problems]


def steps_on_paper(rows: SwapRows) -> list[Step]:
    """The needed steps of the list that a card was worked by, as far as its sort of swap has them."""
    found = Step.objects.filter(step_list=rows.swap.step_list_id, is_needed=True)
    if rows.on is None:
        found = found.exclude(phase__in=PHASES_OF_FITTING)
    if rows.swap.sort == "fitting":
        found = found.exclude(phase="remove")
    return list(found.order_by("number"))


def earned_on_paper(rows: SwapRows) -> list[str]:
    """The codes of the works that a card counts as, each once."""
    return list(dict.fromkeys(step.earns for step in steps_on_paper(rows) if step.earns))


def card_steps(rows: SwapRows) -> list[CardStep]:
    """The same steps, as plain facts."""
    return as_card_steps(steps_on_paper(rows))


def as_card_steps(steps: Iterable[Step]) -> list[CardStep]:
    return [CardStep(s.number, s.words, s.is_inspected, tuple(s.covers)) for s in steps]


def kept_words(performed: str, steps: Iterable[StepOnCard]) -> dict[str, object]:
    """What a swap keeps of its card beside ink and movements: who did the work, the times at its steps."""
    times = [
        {
            "number": each.number,
            "done_at": each.done_at.isoformat() if each.done_at else None,
            "inspected_at": each.inspected_at.isoformat() if each.inspected_at else None,
        }
        for each in sorted(steps, key=lambda each: each.number)
    ]
    return {"performed": performed.strip(), "steps": times}


def steps_said(swap: Swap) -> list[StepOnCard]:
    """The times that the card has at its steps."""
    return [
        StepOnCard(each["number"], _instant(each["done_at"]), _instant(each["inspected_at"]))
        for each in swap.card_says.get("steps", ())
    ]


def _instant(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def not_shown_on_paper(rows: SwapRows) -> list[str]:
    """The hold points of which a card does not show that they were kept; none of any other swap."""
    if not rows.swap.is_transcribed:
        return []
    return not_shown(card_steps(rows), steps_said(rows.swap))


def why_not_inspected_on_paper(rows: SwapRows) -> list[Obstacle]:
    """What is wrong with a card's independent inspection, where its list asks for one: there is none, its
    inspector might not inspect on a day on which it did, is the one who did the work or signed for it,
    or the times on the card say that it came before the work was done or after it was covered."""
    steps = card_steps(rows)
    numbers = [str(step.number) for step in steps if step.is_inspected]
    if not numbers:
        return []
    signed = [each for each in rows.signatures if each.sort == Signature.INSPECTION and each.is_ink]
    if not signed:
        words = f"The card names no inspector, and its list asks for one at {_steps(numbers)}."
        return [Obstacle("inspection_missing", words)]
    last, said = signed[-1], steps_said(rows.swap)
    ink = Ink(last.ink_signer, last.ink_stamp, last.ink_on or last.signed_at.date())
    return [
        *_why_not_on_any_day(ink, rows.swap, said),
        *_why_same(ink, _workers(rows.swap, last, ink.on)),
        *why_not_held(steps, said),
    ]


def _why_not_on_any_day(ink: Ink, swap: Swap, said: Sequence[StepOnCard]) -> list[Obstacle]:
    """Why the inspector might not inspect: on the day beside the ink, or on one that the card has at a step."""
    zone = ZoneInfo(swap.station.time_zone)
    days = {ink.on} | {e.inspected_at.astimezone(zone).date() for e in said if e.inspected_at}
    found = [
        why for day in sorted(days) for why in why_not_inked(INSPECT, replace(ink, on=day), swap)
    ]
    return list(dict.fromkeys(found))


def _steps(numbers: list[str]) -> str:
    return f"step {numbers[0]}" if len(numbers) == 1 else f"steps {', '.join(numbers)}"


def _workers(swap: Swap, inspection: Signature, on: date) -> list[Ink]:
    """Whose work it was, as far as the card says: who did it, and who signed for it."""
    found = [Ink(name, "", on)] if (name := swap.card_says.get("performed")) else []
    released = inspection.content.get("released")
    if isinstance(released, dict):
        found.append(Ink(str(released.get("signer", "")), str(released.get("stamp", "")), on))
    return found


def _why_same(ink: Ink, workers: Iterable[Ink]) -> list[Obstacle]:
    """Whether who did the work, or signed for it, is the inspector too."""
    one = person_who_signed(ink)
    for other in workers:
        is_same_name = _plain(ink.signer) == _plain(other.signer)
        if is_same_name or (one is not None and one == person_who_signed(other)):
            words = f"{ink.signer.strip()} did or signed for the work and inspected it: another person inspects."
            return [Obstacle("inspected_by_performer", words)]
    return []


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def days_late(swap: Swap, movements: Iterable[Movement]) -> int:
    """How many days after the work a card was entered; nought of a swap that was no card."""
    done = [each.happened_at for each in movements]
    if not swap.is_transcribed or not done:
        return 0
    return max(0, (swap.opened_at.date() - min(done).date()).days)
