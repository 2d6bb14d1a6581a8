"""Doors of the ledger: movements, their corrections and annulments."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from typing import Any

from django.urls import path
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors import examples, responses
from equipment.common.questions import CONFIRM
from equipment.keeping.correct import ANNUL_MOVEMENT, CORRECT_MOVEMENT
from equipment.keeping.doors.requests import MovementSent, MovementsSent
from equipment.keeping.record import record_movements
from equipment.ledger.facts import RowsAsked, RowsRefused
from equipment.models import Movement
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described
from fleet.house.refusals import Refused


class ActShown(serializers.Serializer[Any]):
    """What became of each movement of an act, in its order."""

    movements = responses.MovementShown(many=True)


def movements_shown() -> Any:
    return Movement.objects.select_related(*responses.MOVEMENT_COLUMNS)


def movement_of(movement_id: int) -> Movement:
    """The movement of an address, or a problem that says so."""
    sentence = f"No movement has the id {movement_id}. See /api/v1/units/{{id}}/movements."
    found: Movement = found_or_missing(
        movements_shown(), "unknown_movement", sentence, pk=movement_id
    )
    return found


@contextmanager
def refused_under(name: str, *, is_list: bool = False) -> Iterator[None]:
    """This will say of refused rows where in the body they stand: ``movements.1.place``."""
    try:
        yield
    except RowsRefused as refused:
        found = []
        for row, reasons in refused.by_row.items():
            at = f"{name}.{row}" if is_list else name
            found += [
                replace(each, field=f"{at}.{each.field or ''}".rstrip(".")) for each in reasons
            ]
        if isinstance(refused, RowsAsked):
            found.append(CONFIRM)
        raise Refused.all_of(found) from refused


class Movements(Door):
    @described(
        tag="Movements",
        name="record_movements",
        summary="Record movements",
        description="Records what happened to units, all or none: received, installed, removed, sent, "
        "returned, quarantined, released and so on. One that contradicts the records is asked about "
        "(`confirm_first`); confirmed, it is kept as not conforming, with its reasons, and moves nothing. "
        "A receipt asks for the right to receive.",
        takes=MovementsSent,
        sent=examples.MOVEMENTS_SENT,
        answer=ActShown,
        example={"movements": [examples.MOVEMENT]},
        act="record_movement",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(MovementsSent)
        rows = sent["movements"]
        with refused_under("movements", is_list=True):
            recorded = record_movements(
                by=self.person,
                rows=rows,
                act_id=sent["act_id"],
                at=timezone.now(),
                sender_at=sent.get("sender_at"),
                asks_first=not sent["is_confirmed"],
            )
        rows_by_key = movements_shown().in_bulk([each.movement_id for each in recorded])
        shown = [rows_by_key[each.movement_id] for each in recorded]
        is_new = any(each.is_new for each in recorded)
        return answer(ActShown({"movements": shown}).data, is_new=is_new)


class MovementOne(Door):
    @described(
        tag="Movements",
        name="get_movement",
        summary="One movement",
        description="One movement as recorded, with what corrected it.",
        answer=responses.MovementShown,
        example=examples.MOVEMENT,
    )
    def get(self, request: Request, movement_id: int) -> Response:
        return Response(responses.MovementShown(movement_of(movement_id)).data)


def of_movement() -> AbstractContextManager[None]:
    """This will say of a refused correction where in the body it stands: ``movement.place``."""
    return refused_under("movement")


CorrectionSent = act_request_of(CORRECT_MOVEMENT, "CorrectionSent", movement=MovementSent())
AnnulmentSent = act_request_of(ANNUL_MOVEMENT, "AnnulmentSent", "The movement never happened.")
CorrectionDoor = act_door(
    CORRECT_MOVEMENT,
    CorrectionSent,
    responses.MovementShown,
    examples.MOVEMENT,
    shown=lambda made: movement_of(made.movement_id),
    look_up=movement_of,
    during=of_movement,
)
AnnulmentDoor = act_door(
    ANNUL_MOVEMENT,
    AnnulmentSent,
    responses.MovementShown,
    {**examples.MOVEMENT, "is_annulled": True},
    shown=lambda made: movements_shown().get(annulment=made.id),
    look_up=movement_of,
)

urlpatterns = [
    path("v1/movements", Movements.as_view(), name="api-movements"),
    path("v1/movements/<int:movement_id>", MovementOne.as_view(), name="api-movement"),
    act_path(CORRECT_MOVEMENT, CorrectionDoor, "api-movement-correction"),
    act_path(ANNUL_MOVEMENT, AnnulmentDoor, "api-movement-annulment"),
]
