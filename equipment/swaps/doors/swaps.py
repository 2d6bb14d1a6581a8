"""Doors of swaps: opened, listed, read as a whole, given up, handed over, corrected."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar
from zlib import crc32

from django.db import connection, transaction
from django.db.models import Model, Q
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.proving import proof_by
from equipment.models import Signature, Swap, SwapEnd
from equipment.swaps.acts import abandon_swap, correct_swap, hand_over_swap, open_swap
from equipment.swaps.reads.rows import whole
from fleet.doors.door import Door, done, found_or_missing
from fleet.doors.schema import described, page_of
from fleet.house.refusals import Refused

from . import examples, requests, responses

Done = TypeVar("Done")
SENT = 7_204_431  # locks of acts sent here, apart from those of places and swaps


def swap_of(swap_id: int) -> Swap:
    """The swap of an address, bare, or a problem that says so."""
    sentence = f"No swap has the id {swap_id}. See /api/v1/swaps for those on record."
    found: Swap = found_or_missing(Swap.objects.all(), "unknown_swap", sentence, pk=swap_id)
    return found


def first_time(
    act_id: Any, done_before: Callable[[], bool], act: Callable[[], Done]
) -> tuple[Done, bool]:
    """What an act gives, and whether it was done now; the same act sent twice at once waits."""
    with transaction.atomic():
        with connection.cursor() as cursor:
            key = crc32(act_id.bytes) % 2**31
            cursor.execute("SELECT pg_advisory_xact_lock(%s, %s)", [SENT, key])
        is_new = not done_before()
        return act(), is_new


def was_done(model: type[Model], act_id: Any) -> Callable[[], bool]:
    """Whether a row of this act is on record."""
    return model._default_manager.filter(act_id=act_id).exists


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
        sent = self.brought(requests.SwapSent)
        swap, is_new = first_time(
            sent["act_id"],
            was_done(Swap, sent["act_id"]),
            lambda: open_swap(by=self.person, at=timezone.now(), **sent),
        )
        return done(whole_of(swap.pk), is_new=is_new)


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
        swap, sent = swap_of(swap_id), self.brought(requests.ReasonSent)
        end, is_new = first_time(
            sent["act_id"],
            was_done(SwapEnd, sent["act_id"]),
            lambda: abandon_swap(by=self.person, swap_id=swap.pk, at=timezone.now(), **sent),
        )
        return done(responses.EndShown(end).data, is_new=is_new)


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
        swap, sent = swap_of(swap_id), self.brought(requests.ReasonSent)
        made, is_new = first_time(
            sent["act_id"],
            was_done(Swap, sent["act_id"]),
            lambda: correct_swap(by=self.person, swap_id=swap.pk, at=timezone.now(), **sent),
        )
        if not is_new and made.corrects_id is None:
            raise Refused(
                "act_id_used",
                "Another act was recorded under this id. Give each its own.",
                "act_id",
            )
        return done(whole_of(made.pk), is_new=is_new)


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
        signed, is_new = first_time(
            sent["act_id"],
            was_done(Signature, sent["act_id"]),
            lambda: hand_over_swap(
                giver=giver,
                taker=taker,
                swap_id=swap.pk,
                words=sent["words"],
                act_id=sent["act_id"],
                at=timezone.now(),
            ),
        )
        return done(HandoverShown({"signatures": signed}).data, is_new=is_new)
