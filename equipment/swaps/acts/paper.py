"""A swap that was done on a card, entered afterwards: marked as such, with its page and its ink."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.common.digests import digest_of
from equipment.common.texts import derived_act_id
from equipment.judging.release.obstacles import Obstacle, stands_in_the_way
from equipment.judging.release.signing import INSPECT, RELEASE
from equipment.models import Discrepancy, Place, Signature, Step, Swap, SwapEnd, Unit
from equipment.swaps.ports import EarnedWorks, record_earned_works
from equipment.swaps.reads.contents import data_revision, of_release
from equipment.swaps.reads.dispositions import dispositions_of
from equipment.swaps.reads.ink import (
    LATEST_DAYS,
    Ink,
    authorisation_of,
    days_late,
    kept_words,
    not_shown_on_paper,
    why_not_inked,
)
from equipment.swaps.reads.rows import SwapRows, rows_of
from equipment.swaps.reads.start import expected_at, step_list_of
from equipment.swaps.reads.state import earned_by, state_of_rows
from fleet.acts.repeats import act_id_used, done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User

from .attachments import attach_file
from .facts import Card, Moved, refuse_card
from .held import lock_openings_at, lock_swap
from .movements import record_installation, record_removal
from .opening import aircraft_of, position_of, refuse_second, rules_on, station_of
from .release import finish, works_told


@dataclass(frozen=True, slots=True)
class Transcribed:
    """The swap entered from its card, and what keeps it from counting as released; none if it does.

    ``not_shown`` are the hold points of which the card does not show that they were kept.
    """

    swap: Swap
    obstacles: tuple[Obstacle, ...]
    not_shown: tuple[str, ...] = ()


def transcribe_swap(*, by: User, card: Card, act_id: UUID, at: datetime) -> Transcribed:
    """This will enter a swap done on paper: both movements, back-dated as they happened, the page of
    the card, the ink of who signed, and who transcribed it.

    It ends released where nothing stands in the way; else it stays open with what does, for the
    controller: also where its list asks for an inspection and the card names no other person who might
    inspect that day, or its times say that a hold point was not kept, or who signed its release might
    not. It earns the works of its list. Entered later than a record may be, or silent on a hold point,
    that is a finding. Refuses what :func:`refuse_card` does, a time at a step that its list does not
    have, and what opening a swap and recording movements refuse.
    """
    ask(by, "transcribe_swap")
    with told_by_name(), transaction.atomic():
        place, rows_left = position_of(card.place), Swap.objects.filter(act_id=act_id)
        told = {"card": replace(card, place=place.pk)}
        if done := done_before(act_id, "transcribe_swap", told, rows_left, by=by, at=at):
            return _done_before(done, card)
        refuse_card(card, at)
        swap = _opened(card, place, by, act_id, at)
        _refuse_other_steps(card, swap)
        _moved(card, swap, by=by, act_id=act_id, at=at)
        attach_file(
            by=by, file=card.page, act_id=derived_act_id(act_id, "page"), at=at, swap_id=swap.pk
        )
        if card.inspected is not None:
            first = _Signing(rows_of(lock_swap(swap.pk)), card, by, act_id, at)
            first.inked(Signature.INSPECTION, card.inspected).save()
        signing = _Signing(rows_of(lock_swap(swap.pk)), card, by, act_id, at)
        _note_late(signing)
        _note_not_shown(signing)
        obstacles = _in_the_way(signing.rows, card, at)
        if not obstacles:
            _end(signing)
        return Transcribed(swap, tuple(obstacles), tuple(not_shown_on_paper(signing.rows)))


def _in_the_way(rows: SwapRows, card: Card, at: datetime) -> list[Obstacle]:
    """What keeps a card from counting as released: as of any swap, and the ink of its release."""
    found = stands_in_the_way(state_of_rows(rows, at))
    return [*found, *why_not_inked(RELEASE, card.released, rows.swap)]


def _note_late(signing: _Signing) -> None:
    """A card that comes later than a record may is a finding, which the controller settles."""
    rows, days = signing.rows, days_late(signing.rows.swap, signing.rows.moves.values())
    if days > LATEST_DAYS:
        words = (
            f"Card {rows.swap.card_reference} was entered {days} days after the work: it is due within "
            f"{LATEST_DAYS} days."
        )
        _found("late_entry", "late", words, signing)


def _note_not_shown(signing: _Signing) -> None:
    """A hold point of which the card shows nothing is a finding too: nobody can say that it was kept."""
    for number, words in enumerate(not_shown_on_paper(signing.rows)):
        _found("not_shown", f"not shown {number}", words, signing)


def _found(sort: str, part: str, words: str, signing: _Signing) -> None:
    swap = signing.rows.swap
    Discrepancy.objects.create(
        act_id=derived_act_id(signing.act_id, part),
        sort=sort,
        aircraft=swap.aircraft,
        place=swap.place,
        swap=swap,
        words=words[:400],
        found_at=signing.at,
        found_by=signing.by,
    )


def _done_before(swap: Swap, card: Card) -> Transcribed:
    if not swap.is_transcribed:
        raise act_id_used()
    rows = rows_of(lock_swap(swap.pk))
    is_open = getattr(rows.swap, "end", None) is None
    obstacles = _in_the_way(rows, card, swap.opened_at) if is_open else []
    return Transcribed(swap, tuple(obstacles), tuple(not_shown_on_paper(rows)))


def _refuse_other_steps(card: Card, swap: Swap) -> None:
    """This will refuse a time at a step that the card's list does not have."""
    listed = Step.objects.filter(step_list=swap.step_list_id).values_list("number", flat=True)
    for number in sorted({step.number for step in card.steps} - set(listed)):
        raise Refused("unknown_step", f"The list of this card has no step {number}.", "steps")


def _opened(card: Card, place: Place, by: User, act_id: UUID, at: datetime) -> Swap:
    lock_openings_at(place.pk)
    refuse_second(place)
    sort = "swap" if card.is_off and card.is_on else "removal" if card.is_off else "fitting"
    on = Unit.objects.filter(pk=card.on_id).first() if card.on_id is not None else None
    return Swap.objects.create(
        act_id=act_id,
        sort=sort,
        place=place,
        aircraft=aircraft_of(place),
        station=station_of(card.station_id),
        expected_off=expected_at(place),
        planned_on_id=card.on_id,
        reason=card.reason.strip(),
        step_list=step_list_of(place, [expected_at(place), on], card.when.day),
        is_transcribed=True,
        card_reference=card.reference.strip(),
        card_says=kept_words(card.performed, card.steps),
        rule_set=rules_on(card.when.day, aircraft_of(place)),
        opened_at=at,
        opened_by=by,
    )


def _moved(card: Card, swap: Swap, *, by: User, act_id: UUID, at: datetime) -> list[Moved]:
    read: dict[str, Any] = {
        "when": card.when,
        "minutes": card.minutes,
        "cycles": card.cycles,
        "log_page": card.log_page,
        "is_confirmed": card.is_confirmed,
        "at": at,
        "by": by,
        "swap_id": swap.pk,
    }
    done = []
    if card.off_to is not None and card.tag is not None and swap.sort != "fitting":
        done.append(
            record_removal(
                unit_id=card.off_id,
                found=card.off_found,
                to=card.off_to,
                tag=card.tag,
                act_id=derived_act_id(act_id, "off"),
                **read,
            )
        )
    if swap.sort != "removal":
        done.append(
            record_installation(
                unit_id=card.on_id, found=card.on_found, act_id=derived_act_id(act_id, "on"), **read
            )
        )
    return done


@dataclass(frozen=True, slots=True)
class _Signing:
    """What the ink of a card is written down with."""

    rows: SwapRows
    card: Card
    by: User
    act_id: UUID
    at: datetime

    def inked(self, sort: str, ink: Ink) -> Signature:
        """The ink as a signature: whose it is stands on the page, who wrote it down is ``by``."""
        content = {
            **of_release(self.rows, self.by.pk),
            "act": sort,
            "card": self.card.reference.strip(),
            "signer": ink.signer.strip(),
            "stamp": ink.stamp.strip(),
            "on": ink.on.isoformat(),
            "released": {
                "signer": self.card.released.signer.strip(),
                "stamp": self.card.released.stamp.strip(),
            },
        }
        act = RELEASE if sort == Signature.RELEASE else INSPECT
        held = authorisation_of(act, ink, self.rows.swap)
        statement = (
            f"Signed in ink on card {self.card.reference.strip()}, its page attached; transcribed."
        )
        return Signature(
            act_id=derived_act_id(self.act_id, f"ink {sort}"),
            swap=self.rows.swap,
            sort=sort,
            by=self.by,
            name=self.by.shown_name[:120],
            statement=statement,
            data_revision=data_revision(self.rows.swap),
            authorisation_id=int(held.id) if held is not None else None,
            authorisation_words=f"{held.sort} {held.number}"[:200] if held is not None else "",
            content=content,
            digest=digest_of(content),
            is_ink=True,
            ink_signer=ink.signer.strip(),
            ink_stamp=ink.stamp.strip(),
            ink_on=ink.on,
            signed_at=self.at,
        )


def _end(signing: _Signing) -> None:
    signature = signing.inked(Signature.RELEASE, signing.card.released)
    signature.save()
    rows = signing.rows
    earned = earned_by(rows)
    recorded = record_earned_works(
        EarnedWorks(
            swap=rows.swap,
            signature=signature,
            unit_on_id=rows.on.unit_id if rows.on else None,
            unit_off_id=rows.off.unit_id if rows.off else None,
            codes=earned,
            at=signing.at,
            done_on=signing.card.when.day,
        )
    )
    SwapEnd.objects.create(
        swap=signing.rows.swap,
        act_id=derived_act_id(signing.act_id, "end"),
        sort="released",
        signature=signature,
        dispositions=dispositions_of(signing.rows, signing.at),
        works=works_told(earned, recorded),
        at=signing.at,
        by=signing.by,
    )
    finish(signing.rows, by=signing.by, act_id=signing.act_id, at=signing.at)
