"""Doors of the removal and the installation of a swap, posted when each happens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.swaps.acts import Moved, record_installation, record_removal
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer
from fleet.doors.schema import described

from . import examples, requests
from .swaps import swap_of


class MoveReasonShown(serializers.Serializer[Any]):
    code = serializers.CharField()
    message = serializers.CharField()
    field = serializers.CharField(allow_null=True)


class MovedShown(serializers.Serializer[Any]):
    """What became of it; `movement` is null of a unit that is on no record: it was noted as seen."""

    movement = serializers.IntegerField(allow_null=True, source="movement_id")
    is_conforming = serializers.BooleanField()
    reasons = MoveReasonShown(many=True, help_text="Why it does not conform.")
    discrepancy = serializers.IntegerField(allow_null=True, source="discrepancy_id")


class Moves(Door):
    """What both doors have in common."""

    def moved(self, swap_id: int, act: Callable[..., Moved], sent: dict[str, Any]) -> Response:
        swap, at = swap_of(swap_id), timezone.now()
        moved = act(by=self.person, swap_id=swap.pk, at=at, **sent)
        is_new = done_now(sent["act_id"], act.__name__, at)
        return answer(MovedShown(asdict(moved)).data, is_new=is_new)


class SwapRemoval(Moves):
    @described(
        tag="Swaps",
        name="record_removal",
        summary="Record what came off",
        description="Records what came off, where it goes and how it is tagged. Another unit than "
        "recorded is kept as not conforming, with a discrepancy; one on no record (`found`) is noted "
        "as seen. A second removal corrects the first.",
        takes=requests.RemovalSent,
        sent=examples.REMOVAL_SENT,
        answer=MovedShown,
        example=examples.MOVED,
        act="record_movement",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        return self.moved(swap_id, record_removal, self.brought(requests.RemovalSent))


class SwapInstallation(Moves):
    @described(
        tag="Swaps",
        name="record_installation",
        summary="Record what went on",
        description="Records what went on at the swap's position. One that may not go there is kept "
        "as not conforming, with a discrepancy. A second installation corrects the first.",
        takes=requests.InstallationSent,
        sent=examples.INSTALLATION_SENT,
        answer=MovedShown,
        example=examples.MOVED,
        act="record_movement",
    )
    def post(self, request: Request, swap_id: int) -> Response:
        return self.moved(swap_id, record_installation, self.brought(requests.InstallationSent))
