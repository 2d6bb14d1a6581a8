"""One fact of a released swap put right: which unit came off, or went on. Signed by itself; nothing else is signed again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.common.digests import Content
from equipment.common.questions import ask_first
from equipment.common.texts import derived_act_id, refuse_all
from equipment.common.wording import PLACE_PARTS, unit_words
from equipment.judging.release.signing import RELEASE, why_not_release
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, Recorded, When
from equipment.models import Movement, Signature, SwapEnd, SwapMovement, Unit, UnitTag
from equipment.swaps.ports import EarnedWorks, record_earned_works
from equipment.swaps.reads.asking import place_before, why_ask_of_unit
from equipment.swaps.reads.contents import movement_content
from equipment.swaps.reads.people import person_of
from equipment.swaps.reads.rows import SwapRows, day_of, kind_of, rows_of, type_of
from equipment.swaps.reads.state import earned_by
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.people.proofs import Proof, refuse_stale

from .facts import MOST_REASON
from .held import lock_swap
from .signature import Signing, signature_of

ROLES = {SwapMovement.OFF: "came off", SwapMovement.ON: "went on"}


@dataclass(frozen=True, slots=True)
class UnitCorrection:
    """Which unit really came off (``off``) or went on (``on``), and what was wrong."""

    role: str
    unit_id: int
    reason: str
    is_confirmed: bool = False


def correct_swap_unit(
    *,
    proof: Proof,
    swap_id: int,
    correction: UnitCorrection,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> Signature:
    """This will put right which unit a released swap took off or put on, by a signature of its own. The
    movement that was recorded is kept and replaced; steps and signatures stand as they were given; the
    tag, and the works that were earned, follow the unit.

    Refuses a swap that is not released, one without such a movement, the unit that is recorded, a person
    who may not release that day; and, unless it is confirmed, a unit that may not be there (``confirm_first``).
    """
    ask(proof.user, "correct_swap_unit")
    refuse_stale(proof, at)
    by, given = proof.user, Signature.objects.filter(act_id=act_id)
    told = {"swap_id": swap_id, "correction": correction, "signer": by.pk}
    with told_by_name(), transaction.atomic():
        earlier = [given]
        if not claim(
            act_id,
            "correct_swap_unit",
            told,
            by=by,
            at=at,
            earlier=earlier,
            sender_at=sender_at,
        ):
            return what_was_done(given.filter(sort=Signature.CORRECTION))
        signing = Signing(rows_of(lock_swap(swap_id)), proof, act_id, at, sender_at)
        before = _movement_of(signing.rows, correction)
        unit = _unit_of(correction, before)
        reason = refuse_blank(correction.reason, "Say what was wrong.", "reason", MOST_REASON)
        _refuse_unauthorised(signing)
        done = _replaced(signing, before, unit, correction)
        return _signed(signing, before, done, correction.role, reason)


def _movement_of(rows: SwapRows, correction: UnitCorrection) -> Movement:
    if not SwapEnd.objects.filter(swap=rows.swap, sort="released").exists():
        words = "Only a released swap is corrected so: in an open one record the unit again."
        raise Refused("swap_not_released", words, "swap")
    movement = rows.moves.get(correction.role)
    if movement is None:
        words = "This swap records no such movement: say whether the unit came off or went on."
        raise Refused("movement_not_recorded", words, "role")
    return movement


def _unit_of(correction: UnitCorrection, before: Movement) -> Unit:
    unit = Unit.objects.select_related("part_number").filter(pk=correction.unit_id).first()
    if unit is None:
        raise Refused("unknown_unit", "There is no such unit: look it up again.", "unit")
    if unit.pk == before.unit_id:
        words = f"{unit_words(unit)} is recorded: there is nothing to correct."
        raise Refused("recorded_so", words, "unit")
    return unit


def _refuse_unauthorised(signing: Signing) -> None:
    swap = signing.rows.swap
    found = why_not_release(
        person_of(signing.proof.user),
        signing.authorisations,
        day_of(swap, signing.at),
        aircraft_type=type_of(swap),
        kind=kind_of(swap),
    )
    refuse_all([each.as_refusal() for each in found])


def _replaced(
    signing: Signing, before: Movement, unit: Unit, correction: UnitCorrection
) -> Recorded:
    """The movement as it was, of the unit that it was; asked about where it contradicts the records."""
    swap = signing.rows.swap
    asked = why_ask_of_unit(swap, correction.role, unit, [], place_before(unit))
    fact = MovementFact(
        unit_id=unit.pk,
        sort=before.sort,
        to=before.to_place_id,
        when=When(before.happened_at, before.precision, before.zone),
        day_order=before.day_order,
        aircraft_minutes=before.aircraft_minutes,
        aircraft_cycles=before.aircraft_cycles,
        log_page=before.log_page,
        reason=before.reason,
        corrects=before.pk,
        off=swap.place_id if correction.role == SwapMovement.OFF else None,
    )
    (done,) = record_asked(
        by=signing.proof.user,
        rows=[fact],
        act_id=derived_act_id(signing.act_id, "movement"),
        at=signing.at,
    )
    if not correction.is_confirmed:
        ask_first([*asked, *done.reasons])
    _follow(signing, before, unit, correction.role)
    return done


def _follow(signing: Signing, before: Movement, unit: Unit, role: str) -> None:
    """The tag is of the unit that came off; what a swap earned is of the unit that went on."""
    rows, act_id = signing.rows, signing.act_id
    tag = UnitTag.objects.filter(swap=rows.swap, unit=before.unit_id).order_by("-pk").first()
    if role == SwapMovement.OFF and tag is not None:
        tag.pk, tag._state.adding = None, True
        tag.unit, tag.act_id = unit, derived_act_id(act_id, "tag")
        tag.recorded_at, tag.recorded_by = signing.at, signing.proof.user
        tag.save()
    released = rows.swap.end.signature
    if role == SwapMovement.ON and released is not None:
        record_earned_works(
            EarnedWorks(
                swap=rows.swap,
                signature=released,
                unit_on_id=unit.pk,
                unit_off_id=None,
                codes=earned_by(rows),
                at=rows.swap.end.at,
                instead_of_unit_id=before.unit_id,
                corrected_by=signing.proof.user,
                corrected_at=signing.at,
            )
        )


def _signed(
    signing: Signing, before: Movement, done: Recorded, role: str, reason: str
) -> Signature:
    parts = (f"to_place__{part}" for part in PLACE_PARTS)
    movements = Movement.objects.select_related("unit__part_number", "unit__original_part", *parts)
    after = movements.get(pk=done.movement_id)
    statement = (
        f"I correct one fact of this swap: {unit_words(after.unit)} {ROLES[role]}, not "
        f"{unit_words(before.unit)}. Everything else stands as it was signed."
    )
    content: Content = {
        "act": Signature.CORRECTION,
        "swap": signing.rows.swap.pk,
        "by": signing.proof.user.pk,
        "role": role,
        "reason": reason,
        "statement": statement,
        "before": movement_content(before),
        "after": movement_content(after),
        "is_conforming": done.is_conforming,
    }
    held = signing.held(RELEASE)
    signature = signature_of(signing, Signature.CORRECTION, content, statement, held)
    signature.reason = reason
    signature.save()
    return signature
