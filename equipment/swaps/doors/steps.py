"""Doors of the work of a swap: what was typed, signed, taken off and put on, and who is called."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
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
    refuse_inspection,
    reinspect_step,
    release_swap,
    sign_step,
)
from equipment.swaps.acts.correcting import correct_swap_unit
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.fields import Shape
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


def signed(
    act: Callable[..., Signature],
    summary: str,
    description: str,
    example: Mapping[str, Any],
    *,
    takes: type[Shape] = requests.SignatureSent,
    sent: Mapping[str, Any] = examples.SIGNATURE_SENT,
    row: str = "",
) -> Callable[..., Response]:
    """The ``post`` of a door by which somebody signs, who proves to be there; shown as it was kept.

    What is signed stands in the address: a swap, or a step of it. ``row`` is of the table of who may
    do what, where it is not named as the act.
    """

    def post(self: Door, request: Request, swap_id: int, number: int | None = None) -> Response:
        swap = swap_of(swap_id)
        of = {} if number is None else {"step_id": step_of(swap, number).pk}
        given = self.brought(takes)
        proof = proof_by(request, {name: given.pop(name) for name in ("username", "password")})
        at = timezone.now()
        made = act(proof=proof, at=at, swap_id=swap.pk, **of, **given)
        is_new = done_now(given["act_id"], act.__name__, at)
        return answer(responses.SignatureShown(made).data, is_new=is_new)

    describe = described(
        tag="Swaps",
        name=act.__name__,
        summary=summary,
        description=f"{description} {SIGNING}",
        takes=takes,
        sent=sent,
        answer=responses.SignatureShown,
        example=example,
        act=row or act.__name__,
    )
    method: Callable[..., Response] = describe(post)
    return method


class StepSignature(Door):
    post = signed(
        sign_step,
        "Sign a step off",
        "Signs a step off as it stands, done and within tolerance.",
        examples.SIGNATURE,
    )


class StepInspection(Door):
    post = signed(
        inspect_step,
        "Sign an inspection",
        "Signs that a second person, who took no part in the step, inspected it after its sign-off.",
        examples.INSPECTION,
    )


class StepReinspection(Door):
    post = signed(
        reinspect_step,
        "Sign a reinspection of the own work",
        "Only where the rules of signing allow it: whoever did the step inspects it again in "
        "unforeseen circumstances, which are named.",
        examples.REINSPECTION,
        takes=requests.ReinspectionSent,
        sent=examples.REINSPECTION_SENT,
        row="sign_step",
    )


class StepRefusal(Door):
    post = signed(
        refuse_inspection,
        "Do not accept a step",
        "Signs that a second person, who took no part in the step, inspected it and does not accept it, "
        "and why. Its sign-off no longer counts: it is done, entered, signed and inspected anew.",
        examples.REFUSAL,
        takes=requests.RefusalSent,
        sent=examples.REFUSAL_SENT,
        row="inspect_step",
    )


class SwapRelease(Door):
    post = signed(
        release_swap,
        "Release a swap",
        "Signs off a swap that nothing stands in the way of. Everything that does is named, at the "
        "field `step-7` if it is of step 7.",
        examples.RELEASE,
    )


class SwapUnitCorrection(Door):
    post = signed(
        correct_swap_unit,
        "Correct one unit of a released swap",
        "Puts right which unit came off or went on, by a signature of its own: the movement recorded is "
        "kept and replaced, and no step is signed again.",
        examples.UNIT_CORRECTION,
        takes=requests.UnitCorrectionSent,
        sent=examples.UNIT_CORRECTION_SENT,
    )
