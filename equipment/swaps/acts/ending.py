"""A swap given up, and a swap handed from one shift to the next."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from equipment.common.texts import derived_act_id
from equipment.judging.release.signing import SIGN_STEP
from equipment.models import Signature, SwapEnd
from equipment.swaps.reads.contents import of_handover
from equipment.swaps.reads.rows import SwapRows, moves_of, rows_of
from equipment.swaps.reads.state import step_state
from fleet.acts.act import Act
from fleet.acts.repeats import act_id_used, claim, done_before
from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.people.proofs import Proof, refuse_stale

from .facts import WithReason
from .held import lock_swap, refuse_ended
from .release import end_calls
from .signature import Signing, signature_of

MOST_WORDS = 400


@transaction.atomic
def abandon_swap(*, by: User, swap_id: int, reason: str, act_id: UUID, at: datetime) -> SwapEnd:
    """This will end a swap that nothing was done for after all; its entries stay readable.

    Refuses while its removal or installation stands in the ledger, or while pins, locks or tools
    that were fitted are not back: such a job is finished, or put right first.
    """
    ask(by, "abandon_swap")
    told, rows = {"swap_id": swap_id, "reason": reason}, SwapEnd.objects.filter(act_id=act_id)
    if done := done_before(act_id, "abandon_swap", told, rows, by=by, at=at):
        return done
    why = refuse_blank(reason, "Say why it is given up.", "reason", 200)
    swap = lock_swap(swap_id)
    refuse_ended(swap)
    _refuse_begun(rows_of(swap))
    end_calls(swap_id, at)
    return SwapEnd.objects.create(
        swap=swap, act_id=act_id, sort="abandoned", reason=why, at=at, by=by
    )


def _refuse_begun(rows: SwapRows) -> None:
    reasons = Reasons()
    before = moves_of(rows.swap.corrects) if rows.swap.corrects is not None else {}
    own = {move.pk for move in rows.moves.values()} - {move.pk for move in before.values()}
    if own:
        words = (
            "What came off or went on is recorded: finish the job, leave the position open by a"
            " document, or have the movement corrected first."
        )
        reasons.add("swap_has_movements", words)
    for step in rows.steps:
        for pair in step_state(rows, step).counts:
            if pair.fitted and pair.fitted != pair.returned:
                back = pair.returned or 0
                words = (
                    f"{back} of {pair.fitted} {pair.what} are back: account for every one first."
                )
                reasons.add("safety_device_not_back", words, f"step-{step.number}")
    reasons.refuse()


@transaction.atomic
def hand_over_swap(
    *, giver: Proof, taker: Proof, swap_id: int, words: str, act_id: UUID, at: datetime
) -> list[Signature]:
    """This will hand an open swap to the next shift as it stands: whose each step is, what is in hand,
    and both signatures (the giver's, the taker's).

    Refuses one person on both sides, stale credentials of either, and a swap that has ended.
    """
    for proof in (giver, taker):
        ask(proof.user, "hand_over_swap")
        refuse_stale(proof, at)
    acts = [act_id, derived_act_id(act_id, "taken")]
    rows = Signature.objects.filter(act_id__in=acts)
    told = {"swap_id": swap_id, "words": words, "giver": giver.user.pk, "taker": taker.user.pk}
    if not claim(act_id, "hand_over_swap", told, by=giver.user, at=at, earlier=[rows]):
        return _handed(rows)
    said = refuse_blank(words, "Say how far it is and what must be known.", "words", MOST_WORDS)
    if giver.user.pk == taker.user.pk:
        sentence = "One person cannot hand over to themselves: the next shift signs too."
        raise Refused("same_person", sentence, "taker")
    swap = lock_swap(swap_id)
    refuse_ended(swap)
    standing = rows_of(swap)
    handed, taken = (
        Signing(standing, who, act, at) for who, act in zip((giver, taker), acts, strict=True)
    )
    return [
        _signed(handed, Signature.HANDED, giver, taker, said),
        _signed(taken, Signature.TAKEN, giver, taker, said),
    ]


def _handed(rows: QuerySet[Signature]) -> list[Signature]:
    """The two signatures that the same act gave before; refuses an id that signed something else."""
    found = list(rows.filter(sort__in=(Signature.HANDED, Signature.TAKEN)).order_by("pk"))
    if not found:
        raise act_id_used()
    return found


def _signed(signing: Signing, sort: str, giver: Proof, taker: Proof, words: str) -> Signature:
    content = {
        **of_handover(signing.rows, signing.proof.user.pk),
        "act": sort,
        "giver": giver.user.pk,
        "taker": taker.user.pk,
        "words": words,
        "in_hand": in_hand(signing.rows),
    }
    verb = "hand over" if sort == Signature.HANDED else "take over"
    other = taker if sort == Signature.HANDED else giver
    way = "to" if sort == Signature.HANDED else "from"
    said = f"I {verb} this swap as it stands {way} {other.user.shown_name[:100]}. {words}"
    signature = signature_of(signing, sort, content, said, signing.held(SIGN_STEP))
    signature.save()
    return signature


def in_hand(rows: SwapRows) -> list[int]:
    """The steps that may be half done: entered and not signed as they stand, and the next one."""
    found, is_next_found = [], False
    for step in rows.steps:
        state = step_state(rows, step)
        is_signed = state.signed is not None and state.signed.is_current
        if state.verdict is not None and not is_signed:
            found.append(step.number)
        elif state.verdict is None and step.is_needed and not is_next_found:
            is_next_found = True
            found.append(step.number)
    return found


# --- declared ---------------------------------------------------------------------------------

ABANDON_SWAP = Act(
    name="abandon_swap",
    does=abandon_swap,
    said=WithReason,
    tag="Swaps",
    summary="Abandon a swap",
    description="Ends a swap for which nothing was taken off or put on after all.",
    address="swaps/<int:swap_id>/abandonment",
    in_address=("swap_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6b06",
        "reason": "Not due after all.",
    },
)
