"""The removal and the installation of a swap, posted to the ledger when each happens."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypedDict
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from equipment.availability.acts.tag_facts import TagFact, refuse_tag
from equipment.common.clashes import told_by_name
from equipment.common.questions import ask_first
from equipment.common.texts import derived_act_id
from equipment.keeping.derive import tell_condition
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, Recorded, When
from equipment.models import Discrepancy, Movement, Swap, SwapMovement, Unit, UnitTag
from equipment.swaps.reads.asking import (
    expected_in,
    place_before,
    why_ask_of_plate,
    why_ask_of_unit,
)
from equipment.swaps.reads.rows import moves_of
from fleet.acts.repeats import Said, act_id_used, claim
from fleet.house.desks import ask
from fleet.house.refusals import Refusal, Refused
from fleet.models import User

from .facts import FoundUnit, Moved
from .found import (
    note_discrepancy,
    note_unknown,
    occupants_at,
    settle_corrected,
    unit_read,
)
from .held import lock_swap, refuse_ended, refuse_in_place


@dataclass(frozen=True, slots=True)
class Post:
    """One removal or installation about to be recorded."""

    by: User
    swap: Swap
    role: str
    to: int | PlaceAt
    when: When
    act_id: UUID
    at: datetime
    sender_at: datetime | None
    minutes: int | None
    cycles: int | None
    log_page: str
    is_confirmed: bool = False


class _Call(TypedDict):
    """Who brings it and when, and what was brought before: no content of it."""

    by: User
    at: datetime
    sender_at: datetime | None
    earlier: list[QuerySet[Any]]


def record_removal(
    *,
    by: User,
    swap_id: int,
    to: PlaceAt,
    when: When,
    tag: TagFact,
    act_id: UUID,
    at: datetime,
    unit_id: int | None = None,
    found: FoundUnit | None = None,
    minutes: int | None = None,
    cycles: int | None = None,
    log_page: str = "",
    is_confirmed: bool = False,
    sender_at: datetime | None = None,
) -> Moved:
    """This will record what came off, where it goes and how it is tagged.

    Another unit than recorded is asked about (``confirm_first``); confirmed, it is kept as not
    conforming, with a sighting and a discrepancy for the controller; one on no record is named by
    ``found`` and noted as seen. A second removal of the same swap corrects the first. ``minutes`` and ``cycles`` are the aircraft's, as read. Refuses an
    unknown unit or place, a time to come, and a swap that has ended.
    """
    ask(by, "record_movement")
    told: Said = {"swap_id": swap_id, "unit_id": unit_id, "found": found, "to": to, "tag": tag}
    told |= {"when": when, "minutes": minutes, "cycles": cycles, "log_page": log_page}
    told |= {"is_confirmed": is_confirmed}
    call: _Call = {"by": by, "at": at, "sender_at": sender_at, "earlier": left_by(act_id)}
    with told_by_name(), transaction.atomic():
        if not claim(act_id, "record_removal", told, **call):
            return moved_by(act_id, SwapMovement.OFF)
        refuse_tag(tag)
        read = minutes, cycles, log_page, is_confirmed
        swap, role = lock_swap(swap_id), SwapMovement.OFF
        post = Post(by, swap, role, to, when, act_id, at, sender_at, *read)
        moved, unit = _posted(post, unit_id, found)
        if moved.movement_id is not None and unit is not None:
            _tag(post, unit, tag)
        return moved


def record_installation(
    *,
    by: User,
    swap_id: int,
    when: When,
    act_id: UUID,
    at: datetime,
    unit_id: int | None = None,
    found: FoundUnit | None = None,
    minutes: int | None = None,
    cycles: int | None = None,
    log_page: str = "",
    is_confirmed: bool = False,
    sender_at: datetime | None = None,
) -> Moved:
    """This will record what went on, at the swap's own position.

    One that may not go there, is recorded elsewhere or lies at another station is asked about
    (``confirm_first``); confirmed, it is kept, and where it does not conform with a discrepancy. A second installation of the same swap corrects the first. Refuses as a removal does.
    """
    ask(by, "record_movement")
    told: Said = {"swap_id": swap_id, "unit_id": unit_id, "found": found, "when": when}
    told |= {"minutes": minutes, "cycles": cycles, "log_page": log_page}
    told |= {"is_confirmed": is_confirmed}
    call: _Call = {"by": by, "at": at, "sender_at": sender_at, "earlier": left_by(act_id)}
    with told_by_name(), transaction.atomic():
        if not claim(act_id, "record_installation", told, **call):
            return moved_by(act_id, SwapMovement.ON)
        swap, read = lock_swap(swap_id), (minutes, cycles, log_page)
        to, role = swap.place_id, SwapMovement.ON
        post = Post(by, swap, role, to, when, act_id, at, sender_at, *read, is_confirmed)
        return _posted(post, unit_id, found)[0]


def _posted(post: Post, unit_id: int | None, found: FoundUnit | None) -> tuple[Moved, Unit | None]:
    refuse_ended(post.swap)
    refuse_in_place(post.swap)
    unit = _unit(unit_id, found)
    recorded = occupants_at(post.swap.place_id, post.when.at)
    expected = expected_in(post.swap, post.role, recorded)
    if unit is None:
        assert found is not None
        if not post.is_confirmed:
            ask_first(why_ask_of_plate(found.part_number, found.serial_number, expected))
        return note_unknown(post.swap, found, post), None
    asked = why_ask_of_unit(post.swap, post.role, unit, expected, place_before(unit))
    before = moves_of(post.swap).get(post.role)
    done = _record(post, unit, before)
    if not post.is_confirmed:
        ask_first([*asked, *done.reasons])
    link = SwapMovement(swap=post.swap, role=post.role, movement_id=done.movement_id)
    if not SwapMovement.objects.filter(movement=done.movement_id).exists():
        link.save()
    discrepancy = None
    if not done.is_conforming:
        hand = [each for each in asked if each.code == "wrong_hand"]
        discrepancy = note_discrepancy(post, unit, recorded, done, hand)
    elif before is not None:
        settle_corrected(post, unit, before.pk, done)
    return Moved(done.movement_id, done.is_conforming, done.reasons, discrepancy), unit


def _record(post: Post, unit: Unit, before: Movement | None) -> Recorded:
    """One row of the ledger; it corrects what the swap recorded before for the same."""
    fact = MovementFact(
        unit_id=unit.pk,
        sort="removed" if post.role == SwapMovement.OFF else "installed",
        to=post.to,
        when=post.when,
        aircraft_minutes=post.minutes,
        aircraft_cycles=post.cycles,
        log_page=post.log_page,
        reason=post.swap.reason,
        corrects=before.pk if before is not None else None,
        off=post.swap.place_id if post.role == SwapMovement.OFF else None,
    )
    (done,) = record_asked(
        by=post.by, rows=[fact], act_id=post.act_id, at=post.at, sender_at=post.sender_at
    )
    return done


def left_by(act_id: UUID) -> list[QuerySet[Any]]:
    """The rows that a removal or installation of this act leaves: a movement, or a unit on no record."""
    noted = Discrepancy.objects.filter(act_id=derived_act_id(act_id, "discrepancy"))
    return [Movement.objects.filter(act_id=act_id), noted]


def moved_by(act_id: UUID, role: str) -> Moved:
    """What the same act did before; refuses an act that did something else."""
    moves, noted = left_by(act_id)
    movement, seen = moves.filter(swap_link__role=role).first(), noted.first()
    if movement is not None:
        reasons = tuple(Refusal(**each) for each in movement.reasons)
        return Moved(movement.pk, movement.is_conforming, reasons, seen.pk if seen else None)
    if seen is None:
        raise act_id_used()
    return Moved(None, False, (Refusal("unknown_unit", seen.words, "unit"),), seen.pk)


def _unit(unit_id: int | None, found: FoundUnit | None) -> Unit | None:
    """The unit that is named; None if it was read off a plate and is on no record."""
    if unit_id is None and found is None:
        raise Refused("missing", "Say which unit: scan it, or type what its plate says.", "unit")
    if unit_id is None:
        assert found is not None
        return unit_read(found)
    unit = Unit.objects.filter(pk=unit_id).select_related("part_number").first()
    if unit is None:
        raise Refused("unknown_unit", "There is no such unit: look it up again.", "unit")
    return unit


def _tag(post: Post, unit: Unit, tag: TagFact) -> None:
    """The tag of the unit that came off, from the moment it did."""
    UnitTag.objects.create(
        act_id=derived_act_id(post.act_id, "tag"),
        unit=unit,
        swap=post.swap,
        sort=tag.sort,
        why=tag.why,
        words=tag.words,
        actions_needed=tag.actions_needed,
        exposure=tag.exposure,
        preservation=tag.preservation,
        total_minutes=tag.total_minutes,
        total_cycles=tag.total_cycles,
        tagged_at=post.when.at,
        recorded_at=post.at,
        recorded_by=post.by,
    )
    if tag.sort != "serviceable":
        tell_condition([unit.pk])
