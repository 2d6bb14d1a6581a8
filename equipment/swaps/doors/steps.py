"""Doors of the work of a swap: what was typed, signed, taken off and put on, and who is called."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.pages.proving import proof_by
from equipment.judging.sorts.table import NAMES
from equipment.models import Signature, Step, Swap
from equipment.swaps.acts import (
    enter_step,
    inspect_step,
    reinspect_step,
    release_swap,
    sign_step,
)
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.schema import described
from fleet.house.refusals import Refused

from . import examples, requests, responses
from .swaps import swap_of

SIGNING = "Given with username and password of whoever signs: the token alone signs nothing."


def step_of(swap: Swap, number: int) -> Step:
    """The step of an address, or a problem that says so."""
    rows = Step.objects.filter(step_list=swap.step_list_id)
    sentence = f"This swap has no step {number}. See /api/v1/swaps/{swap.pk} for its steps."
    found: Step = found_or_missing(rows, "unknown_step", sentence, number=number)
    return found


def step_key(swap: Swap, number: int) -> int:
    """The step of a body; none of this number is the act's to refuse."""
    rows = Step.objects.filter(step_list=swap.step_list_id, number=number)
    return rows.values_list("pk", flat=True).first() or 0


@contextmanager
def under_typed() -> Iterator[None]:
    """This will say of what was typed where in the body it stands: ``typed.value``."""
    try:
        yield
    except Refused as refused:
        raise Refused.all_of(
            [
                replace(each, field=f"typed.{each.field}") if each.field in NAMES else each
                for each in refused.refusals
            ]
        ) from refused


class SwapEntries(Door):
    @described(
        tag="Swaps",
        name="enter_step",
        summary="Enter a step",
        description="Keeps what was typed at a step, and judges it. What is off tolerance is kept as "
        "`out`; what would be right in another unit is asked about (`value_questioned`) and kept once "
        "`is_confirmed`. Every entry stays; the latest counts, and voids an earlier signature.",
        takes=requests.EntrySent,
        sent=examples.ENTRY_SENT,
        answer=responses.EntryShown,
        example=examples.ENTRY,
        act="enter_step",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        swap, sent = swap_of(swap_id), self.brought(requests.EntrySent)
        step, tool = step_key(swap, sent.pop("step")), sent.pop("tool")
        at = timezone.now()
        with under_typed():
            entry = enter_step(
                by=self.person, swap_id=swap.pk, step_id=step, tool_code=tool, at=at, **sent
            )
        is_new = done_now(sent["act_id"], "enter_step", at)
        return answer(responses.EntryShown(entry).data, is_new=is_new)


class Signs(Door):
    """What the doors of signatures have in common."""

    def signed(self, act: Callable[..., Signature], sent: dict[str, Any], **of: Any) -> Response:
        """One signature by who proves to be there, shown as it was kept."""
        proof = proof_by(self.request, {name: sent.pop(name) for name in ("username", "password")})
        at = timezone.now()
        made = act(proof=proof, at=at, **of, **sent)
        is_new = done_now(sent["act_id"], act.__name__, at)
        return answer(responses.SignatureShown(made).data, is_new=is_new)


class StepSignature(Signs):
    @described(
        tag="Swaps",
        name="sign_step",
        summary="Sign a step off",
        description=f"Signs a step off as it stands, done and within tolerance. {SIGNING}",
        takes=requests.SignatureSent,
        sent=examples.SIGNATURE_SENT,
        answer=responses.SignatureShown,
        example=examples.SIGNATURE,
        act="sign_step",
    )
    def post(self, request: Request, swap_id: int, number: int) -> Response:
        swap = swap_of(swap_id)
        step, sent = step_of(swap, number), self.brought(requests.SignatureSent)
        return self.signed(sign_step, sent, swap_id=swap.pk, step_id=step.pk)


class StepInspection(Signs):
    @described(
        tag="Swaps",
        name="inspect_step",
        summary="Sign an inspection",
        description="Signs that a second person, who took no part in the step, inspected it after "
        f"its sign-off. {SIGNING}",
        takes=requests.SignatureSent,
        sent=examples.SIGNATURE_SENT,
        answer=responses.SignatureShown,
        example=examples.INSPECTION,
        act="inspect_step",
    )
    def post(self, request: Request, swap_id: int, number: int) -> Response:
        swap = swap_of(swap_id)
        step, sent = step_of(swap, number), self.brought(requests.SignatureSent)
        return self.signed(inspect_step, sent, swap_id=swap.pk, step_id=step.pk)


class StepReinspection(Signs):
    @described(
        tag="Swaps",
        name="reinspect_step",
        summary="Sign a reinspection of the own work",
        description="Only where the rules of signing allow it: whoever did the step inspects it again "
        f"in unforeseen circumstances, which are named. {SIGNING}",
        takes=requests.ReinspectionSent,
        sent=examples.REINSPECTION_SENT,
        answer=responses.SignatureShown,
        example=examples.REINSPECTION,
        act="sign_step",
    )
    def post(self, request: Request, swap_id: int, number: int) -> Response:
        swap = swap_of(swap_id)
        step, sent = step_of(swap, number), self.brought(requests.ReinspectionSent)
        return self.signed(reinspect_step, sent, swap_id=swap.pk, step_id=step.pk)


class SwapRelease(Signs):
    @described(
        tag="Swaps",
        name="release_swap",
        summary="Release a swap",
        description="Signs off a swap that nothing stands in the way of. Everything that does is "
        f"named, at the field `step-7` if it is of step 7. {SIGNING}",
        takes=requests.SignatureSent,
        sent=examples.SIGNATURE_SENT,
        answer=responses.SignatureShown,
        example=examples.RELEASE,
        act="release_swap",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        swap, sent = swap_of(swap_id), self.brought(requests.SignatureSent)
        return self.signed(release_swap, sent, swap_id=swap.pk)
