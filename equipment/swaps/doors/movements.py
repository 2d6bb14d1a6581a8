"""Doors of the removal and the installation of a swap, posted when each happens."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.swaps.acts import Moved, record_installation, record_removal
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer
from fleet.doors.fields import Shape
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


def moved(
    act: Callable[..., Moved],
    summary: str,
    description: str,
    takes: type[Shape],
    sent: Mapping[str, Any],
) -> Callable[..., Response]:
    """The ``post`` of a door by which a removal or an installation of a swap is recorded."""

    def post(self: Door, request: Request, swap_id: int) -> Response:
        given, swap, at = self.brought(takes), swap_of(swap_id), timezone.now()
        made = act(by=self.person, swap_id=swap.pk, at=at, **given)
        is_new = done_now(given["act_id"], act.__name__, at)
        return answer(MovedShown(asdict(made)).data, is_new=is_new)

    describe = described(
        tag="Swaps",
        name=act.__name__,
        summary=summary,
        description=description,
        takes=takes,
        sent=sent,
        answer=MovedShown,
        example=examples.MOVED,
        act="record_movement",
    )
    method: Callable[..., Response] = describe(post)
    return method


class SwapRemoval(Door):
    post = moved(
        record_removal,
        "Record what came off",
        "Records what came off, where it goes and how it is tagged. Another unit than "
        "recorded is asked about (`confirm_first`); confirmed, it is kept as not conforming, with a "
        "discrepancy; one on no record (`found`) is noted as seen. A second removal corrects the first.",
        requests.RemovalSent,
        examples.REMOVAL_SENT,
    )


class SwapInstallation(Door):
    post = moved(
        record_installation,
        "Record what went on",
        "Records what went on at the swap's position. One that may not go there, or is on "
        "record elsewhere, is asked about (`confirm_first`); confirmed, it is kept as not conforming, with "
        "a discrepancy. A second installation corrects the first.",
        requests.InstallationSent,
        examples.INSTALLATION_SENT,
    )
