"""Doors of swaps: opened, listed, read as a whole, given up, handed over, corrected."""

from __future__ import annotations

from typing import Any

from django.db.models import Q
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.pages.proving import proof_by
from equipment.models import Swap
from equipment.swaps.acts import abandon_swap, correct_swap, hand_over_swap, open_swap
from equipment.swaps.reads.rows import whole
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.schema import described, page_of

from . import examples, requests, responses


def swap_of(swap_id: int) -> Swap:
    """The swap of an address, bare, or a problem that says so."""
    sentence = f"No swap has the id {swap_id}. See /api/v1/swaps for those on record."
    found: Swap = found_or_missing(Swap.objects.all(), "unknown_swap", sentence, pk=swap_id)
    return found


def whole_of(swap_id: int) -> dict[str, Any]:
    """The answer that shows all of a swap."""
    swap_of(swap_id)
    swap = whole(swap_id)
    assert swap is not None
    return responses.swap_shown(swap)


def _asked_for(asked: dict[str, Any]) -> Q:
    chosen = Q()
    if "aircraft" in asked:
        chosen &= Q(aircraft__registration=asked["aircraft"].upper())
    if "station" in asked:
        chosen &= Q(station__code=asked["station"].upper())
    if state := asked.get("state"):
        chosen &= Q(end=None) if state == requests.OPEN else Q(end__sort=state)
    return chosen


class Swaps(Door):
    @described(
        tag="Swaps",
        name="list_swaps",
        summary="Swaps",
        description="Swaps, the latest opened first, narrowed by state, aircraft and station.",
        query=requests.SwapsAsked,
        answer=page_of(responses.SwapRowShown),
        example={"next": None, "results": [examples.SWAP_ROW]},
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(requests.SwapsAsked)
        rows = responses.swaps_shown().filter(_asked_for(asked))
        return self.page(rows, ("-pk",), responses.SwapRowShown, asked)

    @described(
        tag="Swaps",
        name="open_swap",
        summary="Open a swap",
        description="Begins the change of a unit at a position, with the step list and the rules of "
        "signing in force that day. Where a swap is open already, it is named.",
        takes=requests.SwapSent,
        sent=examples.SWAP_SENT,
        answer=responses.SwapShown,
        example=examples.SWAP,
        act="open_swap",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.SwapSent), timezone.now()
        swap = open_swap(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "open_swap", at)
        return answer(whole_of(swap.pk), is_new=is_new)


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
        return Response(whole_of(swap_id))


class SwapAbandonment(Door):
    @described(
        tag="Swaps",
        name="abandon_swap",
        summary="Abandon a swap",
        description="Ends a swap for which nothing was taken off or put on after all.",
        takes=requests.ReasonSent,
        sent=examples.ABANDONMENT_SENT,
        answer=responses.EndShown,
        example={**examples.END, "sort": "abandoned", "reason": "Not due after all.", "works": []},
        act="abandon_swap",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        swap, sent, at = swap_of(swap_id), self.brought(requests.ReasonSent), timezone.now()
        end = abandon_swap(by=self.person, swap_id=swap.pk, at=at, **sent)
        is_new = done_now(sent["act_id"], "abandon_swap", at)
        return answer(responses.EndShown(end).data, is_new=is_new)


class SwapCorrection(Door):
    @described(
        tag="Swaps",
        name="correct_swap",
        summary="Correct a released swap",
        description="Opens a new swap that corrects a released one, which stays as it was signed.",
        takes=requests.ReasonSent,
        sent=examples.SWAP_CORRECTION_SENT,
        answer=responses.SwapShown,
        example={**examples.SWAP, "corrects": 211, "correction_reason": "Wrong wrench named."},
        act="correct_swap",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        swap, sent, at = swap_of(swap_id), self.brought(requests.ReasonSent), timezone.now()
        made = correct_swap(by=self.person, swap_id=swap.pk, at=at, **sent)
        is_new = done_now(sent["act_id"], "correct_swap", at)
        return answer(whole_of(made.pk), is_new=is_new)


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
