"""A swap that was done on a card, entered afterwards: marked as such, with its page and its ink."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.common.digests import digest_of
from equipment.common.texts import derived_act_id
from equipment.judging.release.obstacles import Obstacle, stands_in_the_way
from equipment.judging.release.signing import INSPECT, RELEASE
from equipment.models import Discrepancy, Place, Signature, Swap, SwapEnd, Unit
from equipment.swaps.ports import EarnedWorks, record_earned_works
from equipment.swaps.reads.contents import data_revision, of_release
from equipment.swaps.reads.dispositions import dispositions_of
from equipment.swaps.reads.ink import (
    LATEST_DAYS,
    Ink,
    authorisation_of,
    days_late,
    why_not_inked,
)
from equipment.swaps.reads.rows import SwapRows, rows_of
from equipment.swaps.reads.start import expected_at, step_list_of
from equipment.swaps.reads.state import earned_by, state_of_rows
from fleet.acts.repeats import act_id_used, done_before
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import day_words

from .attachments import attach_file
from .facts import Card, Moved
from .held import lock_openings_at, lock_swap
from .movements import record_installation, record_removal
from .opening import aircraft_of, position_of, refuse_second, rules_on, station_of
from .release import finish, works_told


@dataclass(frozen=True, slots=True)
class Transcribed:
    """The swap entered from its card, and what keeps it from counting as released; none if it does."""

    swap: Swap
    obstacles: tuple[Obstacle, ...]


def transcribe_swap(*, by: User, card: Card, act_id: UUID, at: datetime) -> Transcribed:
    """This will enter a swap done on paper: both movements, back-dated as they happened, the page of
    the card, the ink of who signed, and who transcribed it.

    It ends released where nothing stands in the way; else it stays open with what does, for the
    controller: also where its list asks for an inspection and the card names no other person who might
    inspect that day, or who signed its release might not. It earns the works of its list; entered later
    than a record may be, that is a finding. Refuses a card without reference, page or signer, one without either unit, ink of a
    day that has not come or before the work, and what opening a swap and recording movements refuse.
    """
    ask(by, "transcribe_swap")
    with told_by_name(), transaction.atomic():
        place, rows_left = position_of(card.place), Swap.objects.filter(act_id=act_id)
        told = {"card": replace(card, place=place.pk)}
        if done := done_before(act_id, "transcribe_swap", told, rows_left, by=by, at=at):
            return _done_before(done, card)
        _refuse_shape(card, at)
        swap = _opened(card, place, by, act_id, at)
        _moved(card, swap, by=by, act_id=act_id, at=at)
        attach_file(
            by=by, file=card.page, act_id=derived_act_id(act_id, "page"), at=at, swap_id=swap.pk
        )
        if card.inspected is not None:
            first = _Signing(rows_of(lock_swap(swap.pk)), card, by, act_id, at)
            first.inked(Signature.INSPECTION, card.inspected).save()
        signing = _Signing(rows_of(lock_swap(swap.pk)), card, by, act_id, at)
        _note_late(signing)
        obstacles = _in_the_way(signing.rows, card, at)
        if not obstacles:
            _end(signing)
        return Transcribed(swap, tuple(obstacles))


def _in_the_way(rows: SwapRows, card: Card, at: datetime) -> list[Obstacle]:
    """What keeps a card from counting as released: as of any swap, and the ink of its release."""
    found = stands_in_the_way(state_of_rows(rows, at))
    return [*found, *why_not_inked(RELEASE, card.released, rows.swap)]


def _note_late(signing: _Signing) -> None:
    """A card that comes later than a record may is a finding, which the controller settles."""
    rows, days = signing.rows, days_late(signing.rows.swap, signing.rows.moves.values())
    if days <= LATEST_DAYS:
        return
    words = (
        f"Card {rows.swap.card_reference} was entered {days} days after the work: it is due within "
        f"{LATEST_DAYS} days."
    )
    Discrepancy.objects.create(
        act_id=derived_act_id(signing.act_id, "late"),
        sort="late_entry",
        aircraft=rows.swap.aircraft,
        place=rows.swap.place,
        swap=rows.swap,
        words=words,
        found_at=signing.at,
        found_by=signing.by,
    )


def _done_before(swap: Swap, card: Card) -> Transcribed:
    if not swap.is_transcribed:
        raise act_id_used()
    rows = rows_of(lock_swap(swap.pk))
    is_open = getattr(rows.swap, "end", None) is None
    return Transcribed(swap, tuple(_in_the_way(rows, card, swap.opened_at) if is_open else ()))


def _refuse_shape(card: Card, at: datetime) -> None:
    refuse_blank(card.reference, "Give the card's reference.", "reference", 80)
    refuse_blank(card.reason, "Say why it was changed.", "reason", 200)
    is_off = card.off_id is not None or card.off_found is not None
    is_on = card.on_id is not None or card.on_found is not None
    if not (is_off or is_on):
        words = "Say what came off, what went on, or both, as the card has it."
        raise Refused("missing", words, "off")
    if is_off and (card.off_to is None or card.tag is None):
        words = "Say where the unit that came off went, and how it was tagged."
        raise Refused("missing", words, "off_to")
    for field, ink in (("released", card.released), ("inspected", card.inspected)):
        if ink is not None:
            _refuse_ink(ink, field, card.when.day, at)


def _refuse_ink(ink: Ink, field: str, done_on: date, at: datetime) -> None:
    refuse_blank(ink.signer, "Give the name of who signed, as it stands on the card.", field, 120)
    refuse_long(ink.stamp, field, 40)
    refuse_future(ink.on, at, field, "give the day beside the signature.")
    if ink.on < done_on:
        words = f"It was signed on {day_words(ink.on)}, before the work was done: check both days."
        raise Refused("signed_before_work", words, field)


def _opened(card: Card, place: Place, by: User, act_id: UUID, at: datetime) -> Swap:
    lock_openings_at(place.pk)
    refuse_second(place)
    is_off = card.off_id is not None or card.off_found is not None
    is_on = card.on_id is not None or card.on_found is not None
    sort = "swap" if is_off and is_on else "removal" if is_off else "fitting"
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
