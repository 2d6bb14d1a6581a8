"""Doors of swaps: opened, listed, read as a whole, given up, handed over, corrected."""

from __future__ import annotations

from typing import Any

from django.db.models import Q
from django.urls import path
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.requests import PlaceSent
from equipment.common.pages.proving import proof_by
from equipment.models import Swap
from equipment.swaps.acts import hand_over_swap
from equipment.swaps.acts.ending import ABANDON_SWAP
from equipment.swaps.acts.opening import CORRECT_SWAP, OPEN_SWAP
from equipment.swaps.reads.rows import whole
from fleet.acts.repeats import done_now
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.lists import in_capitals, listed
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described

from . import examples, requests, responses


def swap_of(swap_id: int) -> Swap:
    """The swap of an address, bare, or a problem that says so."""
    sentence = f"No swap has the id {swap_id}. See /api/v1/swaps for those on record."
    found: Swap = found_or_missing(Swap.objects.all(), "unknown_swap", sentence, pk=swap_id)
    return found


def _in_state(state: str) -> Q:
    return Q(end=None) if state == requests.OPEN else Q(end__sort=state)


class Swaps(Door):
    get = listed(
        "list_swaps",
        tag="Swaps",
        summary="Swaps",
        description="Swaps, the latest opened first, narrowed by state, aircraft and station.",
        shows=responses.SwapRowShown,
        example=examples.SWAP_ROW,
        rows=responses.swaps_shown,
        order=("-pk",),
        asks=requests.SwapsAsked,
        by={
            "aircraft": in_capitals("aircraft__registration"),
            "station": in_capitals("station__code"),
            "state": _in_state,
        },
    )


class SwapOne(Door):
    @described(
        tag="Swaps",
        name="get_swap",
        summary="One swap",
        description="A swap as it stands: each step with its latest entry, verdict and signatures, "
        "the removal and the installation, and what stands in the way of its release, by step.",
        answer=responses.SwapShown,
        example=examples.SWAP,
    )
    def get(self, request: Request, swap_id: int) -> Response:
        swap_of(swap_id)
        return Response(responses.SwapShown(whole(swap_id)).data)


class HandoverShown(serializers.Serializer[Any]):
    """The two signatures of a handover: who gave, who took."""

    signatures = responses.SignatureShown(many=True)


class SwapHandover(Door):
    @described(
        tag="Swaps",
        name="hand_over_swap",
        summary="Hand a swap over",
        description="Hands an open swap to the next shift as it stands, signed by both: each with "
        "username and password. The token alone signs nothing.",
        takes=requests.HandoverSent,
        sent=examples.HANDOVER_SENT,
        answer=HandoverShown,
        example={"signatures": [examples.HANDED, examples.TAKEN]},
        act="hand_over_swap",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        swap, sent = swap_of(swap_id), self.brought(requests.HandoverSent)
        giver, taker = (proof_by(request, sent[who], f"{who}.") for who in ("giver", "taker"))
        act_id, words, at = sent["act_id"], sent["words"], timezone.now()
        who = {"giver": giver, "taker": taker}
        signed = hand_over_swap(**who, swap_id=swap.pk, words=words, act_id=act_id, at=at)
        is_new = done_now(act_id, "hand_over_swap", at)
        return answer(HandoverShown({"signatures": signed}).data, is_new=is_new)


ABANDONED = {**examples.END, "sort": "abandoned", "reason": "Not due after all.", "works": []}
CORRECTED = {**examples.SWAP, "corrects": 211, "correction_reason": "Wrong wrench named."}
SwapSent = act_request_of(
    OPEN_SWAP,
    "SwapSent",
    "A swap to be opened, at a position of an aircraft or one inside a unit.",
    place=PlaceSent(),
)
#: Of both acts: the same is said to them.
ReasonSent = act_request_of(ABANDON_SWAP, "ReasonSent")
SwapDoor = act_door(
    OPEN_SWAP,
    SwapSent,
    responses.SwapShown,
    examples.SWAP,
    shown=lambda made: whole(made.pk),
    base=Swaps,
)
AbandonmentDoor = act_door(ABANDON_SWAP, ReasonSent, responses.EndShown, ABANDONED, look_up=swap_of)
CorrectionDoor = act_door(
    CORRECT_SWAP,
    ReasonSent,
    responses.SwapShown,
    CORRECTED,
    shown=lambda made: whole(made.pk),
    look_up=swap_of,
)

urlpatterns = [
    act_path(OPEN_SWAP, SwapDoor, "api-swaps"),
    path("v1/swaps/<int:swap_id>", SwapOne.as_view(), name="api-swap"),
    act_path(ABANDON_SWAP, AbandonmentDoor, "api-swap-abandonment"),
    path("v1/swaps/<int:swap_id>/handover", SwapHandover.as_view(), name="api-swap-handover"),
    act_path(CORRECT_SWAP, CorrectionDoor, "api-swap-correction"),
]
