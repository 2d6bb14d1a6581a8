"""Doors of paper: a swap done on a card, and files that are kept with a swap, a sighting or a certificate."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.models import Step, Swap
from equipment.swaps.acts.attachments import attach_file
from equipment.swaps.acts.paper import transcribe_swap
from fleet.acts.repeats import done_now
from fleet.doors.bodies import LargeJSON
from fleet.doors.door import Door, answer
from fleet.doors.fields import Instant
from fleet.doors.schema import described
from fleet.house.refusals import Refused

from . import card_examples, card_requests
from .responses import ObstacleShown


class TranscribedShown(serializers.Serializer[Any]):
    """The swap, released unless something stands in the way."""

    swap = serializers.IntegerField()
    is_released = serializers.BooleanField()
    obstacles = ObstacleShown(many=True)


class TranscribedSwaps(Door):
    parser_classes = [LargeJSON]

    @described(
        tag="Swaps",
        name="transcribe_swap",
        summary="Enter a swap done on paper",
        description="Enters a swap from its card: what came off and went on, when it happened, the ink of "
        "who signed, the page itself. It is released unless something stands in the way.",
        takes=card_requests.CardSent,
        sent=card_examples.CARD_SENT,
        answer=TranscribedShown,
        example={"swap": 91, "is_released": True, "obstacles": []},
        act="transcribe_swap",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(card_requests.CardSent), timezone.now()
        made = transcribe_swap(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "transcribe_swap", at)
        body = {
            "swap": made.swap.pk,
            "is_released": Swap.objects.filter(pk=made.swap.pk, end__sort="released").exists(),
            "obstacles": ObstacleShown(made.obstacles, many=True).data,
        }
        return answer(body, is_new=is_new)


class AttachmentShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    name = serializers.CharField()
    media_type = serializers.CharField(help_text="By its content.")
    size = serializers.IntegerField(help_text="In bytes.")
    sha256 = serializers.CharField()
    swap = serializers.IntegerField(source="swap_id", allow_null=True)
    step = serializers.IntegerField(source="step.number", default=None, allow_null=True)
    sighting = serializers.IntegerField(source="sighting_id", allow_null=True)
    certificate = serializers.IntegerField(source="certificate_id", allow_null=True)
    recorded_at = Instant(read_only=True)


class Attachments(Door):
    parser_classes = [LargeJSON]

    @described(
        tag="Swaps",
        name="attach_file",
        summary="Attach a file",
        description="Keeps a photo or a page of a swap (and its step), of a sighting, or the scan of a "
        "certificate that is on record. A picture or a PDF by its content, whatever its name says.",
        takes=card_requests.AttachmentSent,
        sent=card_examples.ATTACHMENT_SENT,
        answer=AttachmentShown,
        example=card_examples.ATTACHMENT,
        act="attach_file",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(card_requests.AttachmentSent), timezone.now()
        made = attach_file(
            by=self.person,
            file=sent["file"],
            act_id=sent["act_id"],
            at=at,
            swap_id=sent["swap"],
            step_id=_step(sent),
            sighting_id=sent["sighting"],
            certificate_id=sent["certificate"],
        )
        is_new = done_now(sent["act_id"], "attach_file", at)
        return answer(AttachmentShown(made).data, is_new=is_new)


def _step(sent: dict[str, Any]) -> int | None:
    """The key of the swap's step of this number."""
    if sent["step"] is None:
        return None
    lists = Swap.objects.filter(pk=sent["swap"]).values("step_list")
    steps = Step.objects.filter(step_list__in=lists, number=sent["step"])
    key = steps.values_list("pk", flat=True).first()
    if key is None:
        raise Refused("unknown_step", "This swap has no step of this number.", "step")
    return key
