"""The inspector called to a step, and who has a swap open where."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.texts import of_another
from equipment.models import InspectorCall, Swap, SwapPresence
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User

from .held import hold_swap, refuse_ended, step_of


@transaction.atomic
def call_inspector(
    *, by: User, swap_id: int, step_id: int, act_id: UUID, at: datetime
) -> InspectorCall:
    """This will call the inspector to a step; while one is called, calling again is the same call.

    Refuses a step that nobody else inspects, and a swap that has ended.
    """
    ask(by, "call_inspector")
    swap = hold_swap(swap_id)
    done = InspectorCall.objects.filter(act_id=act_id).first()
    if done is not None:
        if (done.swap_id, done.step_id) != (swap_id, step_id):
            raise of_another("call")
        return done
    refuse_ended(swap)
    step = step_of(swap, step_id)
    if not step.is_inspected:
        words = f"Step {step.number} is not one that a second person inspects."
        raise Refused("not_to_be_inspected", words, "step")
    waiting = InspectorCall.objects.filter(swap=swap, step=step, ended_at=None).first()
    return waiting or InspectorCall.objects.create(
        act_id=act_id, swap=swap, step=step, called_at=at, called_by=by
    )


@transaction.atomic
def answer_call(*, by: User, call_id: int, at: datetime) -> InspectorCall:
    """This will say that an inspector is on the way. Refuses a call that is over or another's."""
    ask(by, "inspect_step")
    call = InspectorCall.objects.select_for_update(of=("self",)).filter(pk=call_id).first()
    if call is None or call.ended_at is not None:
        raise Refused("unknown_call", "This call is over: look at the list again.", "call")
    if call.coming_by_id is not None and call.coming_by_id != by.pk:
        raise Refused("call_answered", "Another inspector is on the way already.", "call")
    if call.coming_at is None:
        call.coming_at, call.coming_by = at, by
        call.save()
    return call


def note_presence(
    *, by: User, swap_id: int, device: str, step_number: int | None, at: datetime
) -> None:
    """This will note that a person has a swap open on a device, so that others see it. No record."""
    ask(by, "read")
    if not Swap.objects.filter(pk=swap_id).exists():
        raise Refused("unknown_swap", "There is no such swap: look it up again.", "swap")
    SwapPresence.objects.update_or_create(
        swap_id=swap_id,
        by=by,
        device=device[:40],
        defaults={"step_number": step_number, "seen_at": at},
    )
