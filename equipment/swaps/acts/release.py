"""The one atomic sign-off of a swap: its signature, its end, and everything that follows from it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.common.texts import derived_act_id, refuse_all
from equipment.judging.release.obstacles import Obstacle, stands_in_the_way
from equipment.judging.release.signing import RELEASE, why_not_release
from equipment.keeping.locks import lock
from equipment.models import (
    InspectorCall,
    OpenItemClosed,
    Reservation,
    Signature,
    SwapEnd,
)
from equipment.swaps.ports import EarnedWorks, record_earned_works, release_obstacles
from equipment.swaps.reads.contents import of_release, statement_of
from equipment.swaps.reads.dispositions import dispositions_of
from equipment.swaps.reads.people import person_of
from equipment.swaps.reads.rows import SwapRows, day_of, kind_of, rows_of, type_of
from equipment.swaps.reads.state import earned_by, open_items_of, state_of_rows
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.refusals import Refusal
from fleet.models import User
from fleet.people.proofs import Proof, refuse_stale

from .held import lock_swap, refuse_ended
from .signature import Signing, signature_of


@dataclass(frozen=True, slots=True)
class Released:
    """A release under way: the rows it stands on and the signature given."""

    signing: Signing
    signature: Signature

    @property
    def rows(self) -> SwapRows:
        return self.signing.rows


def release_swap(
    *, proof: Proof, swap_id: int, act_id: UUID, at: datetime, sender_at: datetime | None = None
) -> Signature:
    """This will sign off a swap that nothing stands in the way of, with all that follows from it:
    works earned, dispositions, the reservation used, the open item closed, due items right.

    Refuses with every obstacle (at the field ``step-7`` if it is of a step), with why the person may
    not release that day, and a swap that has ended.
    """
    ask(proof.user, "release_swap")
    refuse_stale(proof, at)
    by, given = proof.user, Signature.objects.filter(act_id=act_id)
    told = {"swap_id": swap_id, "signer": by.pk}
    name, earlier = "release_swap", [given]
    with told_by_name(), transaction.atomic():
        if not claim(act_id, name, told, by=by, at=at, earlier=earlier, sender_at=sender_at):
            return what_was_done(given.filter(sort=Signature.RELEASE))
        swap = lock_swap(swap_id)
        refuse_ended(swap)
        rows = _held_rows(rows_of(swap))
        signing = Signing(rows, proof, act_id, at, sender_at)
        refuse_all(_why_not(signing))
        return _released(signing)


def _held_rows(rows: SwapRows) -> SwapRows:
    """The rows again, with the place and the units held: nobody moves them meanwhile."""
    units = [move.unit_id for move in rows.moves.values()]
    around = rows.swap.place.around
    if around is not None:
        units.append(around.pk)
    lock(places=[rows.swap.place_id], units=units, is_nesting=around is not None)
    return rows_of(rows.swap)


def _why_not(signing: Signing) -> list[Refusal]:
    rows, proof = signing.rows, signing.proof
    obstacles = stands_in_the_way(state_of_rows(rows, signing.at))
    people = why_not_release(
        person_of(proof.user),
        signing.authorisations,
        day_of(rows.swap, signing.at),
        aircraft_type=type_of(rows.swap),
        kind=kind_of(rows.swap),
    )
    return [*map(_refusal, obstacles), *(each.as_refusal() for each in people)]


def _refusal(obstacle: Obstacle) -> Refusal:
    field = f"step-{obstacle.step_number}" if obstacle.step_number else None
    return Refusal(obstacle.code, obstacle.sentence, field)


def _released(signing: Signing) -> Signature:
    swap = signing.rows.swap
    content = of_release(signing.rows, signing.proof.user.pk)
    statement = statement_of(swap, Signature.RELEASE)
    held = signing.held(RELEASE)
    signature = signature_of(signing, Signature.RELEASE, content, statement, held)
    signature.save()
    released = Released(signing, signature)
    works = _works(released)
    _refuse_still_due(released)
    SwapEnd.objects.create(
        swap=swap,
        act_id=derived_act_id(signing.act_id, "end"),
        sort="released",
        signature=signature,
        dispositions=dispositions_of(signing.rows, signing.at),
        works=works,
        at=signing.at,
        by=signing.proof.user,
    )
    finish(released.rows, by=signing.proof.user, act_id=signing.act_id, at=signing.at)
    return signature


def _works(released: Released) -> list[str]:
    """Records the works that the job earned; a code that no programme knows is said to be so."""
    rows, at = released.rows, released.signing.at
    earned = earned_by(rows)
    recorded = record_earned_works(
        EarnedWorks(
            swap=rows.swap,
            signature=released.signature,
            unit_on_id=rows.on.unit_id if rows.on else _in_place(rows),
            unit_off_id=rows.off.unit_id if rows.off else None,
            codes=earned,
            at=at,
            position_id=rows.swap.place.aircraft_position_id if rows.swap.work else None,
        )
    )
    return works_told(earned, recorded)


def _in_place(rows: SwapRows) -> int | None:
    """The unit that a work was done on where it is."""
    return rows.swap.expected_off_id if rows.swap.work else None


def works_told(earned: Sequence[str], recorded: Collection[str]) -> list[str]:
    """The works earned; one that no programme knows is said to be so."""
    return [code if code in recorded else f"{code} (no such work on record)" for code in earned]


def _refuse_still_due(released: Released) -> None:
    """A work that was earned must have made the unit right: asked again, now that it is recorded."""
    rows, at = released.rows, released.signing.at
    if rows.on is None or not earned_by(rows):
        return
    left = release_obstacles(rows.swap, rows.on.unit_id, [], at)
    refuse_all([_refusal(each) for each in left])


def finish(rows: SwapRows, *, by: User, act_id: UUID, at: datetime) -> None:
    """What follows from a release whoever signed it: the reservation is used, the open item closed,
    nobody is waited for."""
    if rows.on is not None:
        _use_reservation(rows, rows.on.unit_id, by, at)
        _close_open_items(rows, by, act_id, at)
    end_calls(rows.swap.pk, at)


def _use_reservation(rows: SwapRows, unit_id: int, by: User, at: datetime) -> None:
    held = Reservation.objects.filter(unit=unit_id, place=rows.swap.place_id, ended_at=None).first()
    if held is not None:
        held.ended_at, held.ended_how, held.ended_by = at, "used", by
        held.save()


def _close_open_items(rows: SwapRows, by: User, act_id: UUID, at: datetime) -> None:
    for item in open_items_of(rows.swap):
        OpenItemClosed.objects.create(
            open_item=item,
            act_id=derived_act_id(act_id, f"open item {item.pk}"),
            swap=rows.swap,
            words=f"Fitted by swap {rows.swap.pk}.",
            closed_on=day_of(rows.swap, at),
            recorded_at=at,
            recorded_by=by,
        )


def end_calls(swap_id: int, at: datetime) -> None:
    """Nobody is waited for any longer."""
    InspectorCall.objects.filter(swap=swap_id, ended_at=None).update(ended_at=at)
