"""The inspector called to a step, and who has a swap open where."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.models import InspectorCall, Swap, SwapPresence
from fleet.acts.act import Act
from fleet.acts.fields import number
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User

from .held import lock_swap, refuse_ended, step_of


@transaction.atomic
def call_inspector(
    *, by: User, swap_id: int, step_id: int, act_id: UUID, at: datetime
) -> InspectorCall:
    """This will call the inspector to a step; while one is called, calling again is the same call.

    Refuses a step that nobody else inspects, and a swap that has ended.
    """
    ask(by, "call_inspector")
    calls = InspectorCall.objects.filter(swap=swap_id, step=step_id)
    told, rows = (
        {"swap_id": swap_id, "step_id": step_id},
        InspectorCall.objects.filter(act_id=act_id),
    )
    if not claim(act_id, "call_inspector", told, by=by, at=at, earlier=[rows]):
        # One that was called already kept the id of whoever called first.
        return rows.first() or what_was_done(calls.order_by("-pk"))
    swap = lock_swap(swap_id)
    refuse_ended(swap)
    step = step_of(swap, step_id)
    if not step.is_inspected:
        words = f"Step {step.number} is not one that a second person inspects."
        raise Refused("not_to_be_inspected", words, "step")
    waiting = calls.filter(ended_at=None).first()
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


@dataclass(frozen=True, slots=True)
class Called:
    """The inspector is called to a step."""

    swap_id: int = number("The swap", least=1, name="swap")
    step_id: int = number("The step", name="step", most=32767, help="The step's number.")


@dataclass(frozen=True, slots=True)
class Answered:
    """Nothing more is to be said: an inspector is on the way."""

    call_id: int = number("The call", least=1, name="call")


# --- declared ---------------------------------------------------------------------------------

CALL_INSPECTOR = Act(
    name="call_inspector",
    does=call_inspector,
    said=Called,
    tag="Swaps",
    summary="Call the inspector",
    description="Calls the inspector to a step; while one is called, calling again is the same.",
    address="swaps/<int:swap_id>/calls",
    in_address=("swap_id",),
    example={"act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6b09", "step": 6},
)
ANSWER_CALL = Act(
    name="answer_call",
    who="inspect_step",
    does=answer_call,
    said=Answered,
    known_by="the call",
    tag="Swaps",
    summary="Answer a call",
    description="Says that an inspector is on the way to the step.",
    address="calls/<int:call_id>/answer",
    in_address=("call_id",),
)
