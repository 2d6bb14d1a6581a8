"""Doors of paper: a swap done on a card, and files that are kept with a swap, a sighting or a certificate."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.urls import path
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.files import FileSent
from equipment.models import Attachment, Step, Swap
from equipment.swaps.acts.attachments import ATTACH_FILE
from equipment.swaps.acts.paper import transcribe_swap
from fleet.acts.repeats import done_now
from fleet.doors.acts import act_door, act_path
from fleet.doors.bodies import LargeJSON
from fleet.doors.door import Door, answer
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown
from fleet.doors.schema import described
from fleet.house.refusals import Refused

from . import card_examples, card_requests
from .responses import ObstacleShown


class TranscribedShown(serializers.Serializer[Any]):
    """The swap, released unless something stands in the way."""

    swap = serializers.IntegerField()
    is_released = serializers.BooleanField()
    obstacles = ObstacleShown(many=True)
    not_shown = serializers.ListField(
        child=serializers.CharField(),
        help_text="Hold points of which the card does not show that they were kept: a finding each.",
    )


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
        example={"swap": 91, "is_released": True, "obstacles": [], "not_shown": []},
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
            "not_shown": list(made.not_shown),
        }
        return answer(body, is_new=is_new)


class AttachmentShown(RowShown):
    of = Attachment
    shows = "id name media_type size sha256 swap step.number sighting certificate recorded_at"
    told = {"media_type": "By its content.", "size": "In bytes."}


def with_step(said: Mapping[str, Any]) -> dict[str, Any]:
    """What was said, with the key of the swap's step of this number."""
    if said["step_id"] is None:
        return dict(said)
    lists = Swap.objects.filter(pk=said["swap_id"]).values("step_list")
    steps = Step.objects.filter(step_list__in=lists, number=said["step_id"])
    key = steps.values_list("pk", flat=True).first()
    if key is None:
        raise Refused("unknown_step", "This swap has no step of this number.", "step")
    return {**said, "step_id": key}


AttachmentSent = act_request_of(ATTACH_FILE, "AttachmentSent", file=FileSent())
AttachmentDoor = act_door(
    ATTACH_FILE,
    AttachmentSent,
    AttachmentShown,
    card_examples.ATTACHMENT,
    find=with_step,
    parsers=[LargeJSON],
)

urlpatterns = [
    path("v1/swaps/transcribed", TranscribedSwaps.as_view(), name="api-swaps-transcribed"),
    act_path(ATTACH_FILE, AttachmentDoor, "api-attachments"),
]
