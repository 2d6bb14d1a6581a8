"""The removal and the installation of a swap, posted to the ledger when each happens."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.ledger.facts import MovementFact, PlaceAt, Recorded, When
from equipment.models import Discrepancy, Movement, Swap, SwapMovement, Unit, UnitTag
from equipment.swaps.rows import moves_of
from fleet.desks import ask
from fleet.models import User
from fleet.refusals import Reasons, Refusal, Refused
from fleet.texts import why_not_kept

from .._clashes import told_by_name
from ..record import record_asked
from ._found import note_discrepancy, note_unknown, occupants_at, unit_read
from ._held import act_of, hold_swap, of_another, refuse_ended
from .facts import FoundUnit, Moved, TagFact


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
    sender_at: datetime | None = None,
) -> Moved:
    """This will record what came off, where it goes and how it is tagged.

    Another unit than recorded is kept as not conforming, with a sighting and a discrepancy for the
    controller; one on no record is named by ``found`` and noted as seen. A second removal of the
    same swap corrects the first. ``minutes`` and ``cycles`` are the aircraft's, as read. Refuses an
    unknown unit or place, a time to come, and a swap that has ended.
    """
    ask(by, "record_movement")
    refuse_tag(tag)
    with told_by_name(), transaction.atomic():
        post = Post(
            by,
            hold_swap(swap_id),
            SwapMovement.OFF,
            to,
            when,
            act_id,
            at,
            sender_at,
            minutes,
            cycles,
            log_page,
        )
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
    sender_at: datetime | None = None,
) -> Moved:
    """This will record what went on, at the swap's own position.

    One that may not go there, or is recorded elsewhere, is kept as not conforming with a
    discrepancy. A second installation of the same swap corrects the first. Refuses as a removal does.
    """
    ask(by, "record_movement")
    with told_by_name(), transaction.atomic():
        swap = hold_swap(swap_id)
        post = Post(
            by,
            swap,
            SwapMovement.ON,
            swap.place_id,
            when,
            act_id,
            at,
            sender_at,
            minutes,
            cycles,
            log_page,
        )
        return _posted(post, unit_id, found)[0]


def _posted(post: Post, unit_id: int | None, found: FoundUnit | None) -> tuple[Moved, Unit | None]:
    if before := _done_before(post):
        return before, None
    refuse_ended(post.swap)
    unit = _unit(unit_id, found)
    if unit is None:
        assert found is not None
        return note_unknown(post.swap, found, post), None
    recorded = occupants_at(post.swap.place_id, post.when.at)
    done = _record(post, unit)
    link = SwapMovement(swap=post.swap, role=post.role, movement_id=done.movement_id)
    if not SwapMovement.objects.filter(movement=done.movement_id).exists():
        link.save()
    discrepancy = None
    if not done.is_conforming:
        discrepancy = note_discrepancy(post, unit, recorded, done)
    return Moved(done.movement_id, done.is_conforming, done.reasons, discrepancy), unit


def _record(post: Post, unit: Unit) -> Recorded:
    """One row of the ledger; it corrects what the swap recorded before for the same."""
    before = moves_of(post.swap).get(post.role)
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


def _done_before(post: Post) -> Moved | None:
    """What the same act did before; refuses an act that did something else."""
    movement = Movement.objects.filter(act_id=post.act_id).first()
    seen = Discrepancy.objects.filter(act_id=act_of(post.act_id, "discrepancy")).first()
    if movement is None and seen is None:
        return None
    links = SwapMovement.objects.filter(swap=post.swap, role=post.role, movement=movement)
    if movement is not None and not links.exists():
        raise of_another("movement")
    reasons = _reasons(movement) if movement is not None else ()
    return Moved(
        movement.pk if movement else None,
        bool(movement and movement.is_conforming),
        reasons,
        seen.pk if seen else None,
    )


def _reasons(movement: Movement) -> tuple[Refusal, ...]:
    return tuple(Refusal(**each) for each in movement.reasons)


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


def refuse_tag(tag: TagFact) -> None:
    """This will refuse a tag of an unknown sort, or one that does not say why."""
    if tag.sort not in dict(UnitTag.SORTS):
        raise Refused("unknown_tag", "Tag it serviceable, unserviceable or unsalvageable.", "tag")
    if tag.why not in dict(UnitTag.WHY):
        raise Refused("unknown_reason", "Choose one of the reasons listed.", "why")
    if tag.sort != "serviceable" and not (tag.why or tag.words.strip()):
        words = "Say why it is not serviceable: whoever gets it goes by that."
        raise Refused("missing", words, "why")
    reasons = Reasons()
    for name, most in (
        ("words", 300),
        ("actions_needed", 200),
        ("exposure", 200),
        ("preservation", 200),
    ):
        reasons.found += why_not_kept(getattr(tag, name), name, most)
    reasons.refuse()


def _tag(post: Post, unit: Unit, tag: TagFact) -> None:
    """The tag of the unit that came off, from the moment it did."""
    UnitTag.objects.create(
        act_id=act_of(post.act_id, "tag"),
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
