"""Doors by which an inspector is called to a step, and answers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from equipment.models import InspectorCall
from equipment.swaps.acts.calls import ANSWER_CALL, CALL_INSPECTOR
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import found_or_missing
from fleet.doors.requests import act_request_of

from . import examples, responses
from .steps import step_key
from .swaps import swap_of


def with_step(said: Mapping[str, Any]) -> dict[str, Any]:
    """What was said, with the key of the step of this number."""
    return {**said, "step_id": step_key(swap_of(said["swap_id"]), said["step_id"])}


def look_up(call_id: int) -> None:
    sentence = f"No call has the id {call_id}. See the swap's calls: /api/v1/swaps/{{id}}."
    found_or_missing(InspectorCall.objects.all(), "unknown_call", sentence, pk=call_id)


def is_called_now(call: InspectorCall, at: datetime) -> bool:
    """Whoever calls while one is called gives the same call."""
    return call.called_at == at


def is_answered_now(call: InspectorCall, at: datetime) -> bool:
    return call.coming_at == at


COMING = {**examples.CALL, "coming_at": "2027-03-03T14:10:00Z", "coming_by": "i.quell"}
CallSent = act_request_of(CALL_INSPECTOR, "CallSent")
AnswerSent = act_request_of(ANSWER_CALL, "AnswerSent")
CallDoor = act_door(
    CALL_INSPECTOR,
    CallSent,
    responses.CallShown,
    examples.CALL,
    look_up=swap_of,
    find=with_step,
    is_new=is_called_now,
)
AnswerDoor = act_door(
    ANSWER_CALL,
    AnswerSent,
    responses.CallShown,
    COMING,
    look_up=look_up,
    is_new=is_answered_now,
)

urlpatterns = [
    act_path(CALL_INSPECTOR, CallDoor, "api-swap-calls"),
    act_path(ANSWER_CALL, AnswerDoor, "api-call-answer"),
]
