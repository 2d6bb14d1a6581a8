"""Doors by which a discrepancy is settled with what really happened: both histories come out right."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.findings.acts.discrepancies import (
    Settled,
    settle_as_unknown_unit,
    settle_as_unrecorded_swap,
)
from equipment.keeping.doors.movements import refused_under
from equipment.models import Discrepancy, Settlement
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.fields import Shape
from fleet.doors.rows import RowShown
from fleet.doors.schema import described

from . import story_requests

_HAPPENED: dict[str, Any] = {
    "happened_on": "2024-01-10",
    "zone": "Europe/London",
    "document": "LOG 4711/3",
    "to": {"sort": "quarantine", "station": "LYD"},
}
SWAP_SENT: dict[str, Any] = {
    "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c01",
    "unit": 512,
    "happened": _HAPPENED,
}
UNIT_SENT: dict[str, Any] = {
    "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c02",
    "part_number": "HS-4410-3",
    "serial_number": "A00913",
    "happened": _HAPPENED,
}
SETTLED: dict[str, Any] = {
    "id": 12,
    "discrepancy": 31,
    "sort": "swap_recorded",
    "words": "HS-4410-3 S/N A00713 came off, HS-4410-3 S/N A00731 went on on 10 Jan 2024 at Q-AVEN "
    "D1L-SLIDE, by LOG 4711/3.",
    "movement": 90412,
    "settled_at": "2027-03-03T08:10:00Z",
    "settled_by": "c.marsh",
    "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c01",
}


class SettlementShown(RowShown):
    of = Settlement
    shows = "id discrepancy sort words movement settled_at settled_by.username act_id"


class UnrecordedSwap(Door):
    @described(
        tag="Walk-rounds",
        name="settle_as_unrecorded_swap",
        summary="Settle as a swap that nobody recorded",
        description="Records the change that nobody recorded: the recorded unit came off then and went "
        "where `to` says, the one found went on then. What is recorded of the found unit since is "
        "annulled only if `annul_later` says so.",
        takes=story_requests.UnrecordedSwapSent,
        sent=SWAP_SENT,
        answer=SettlementShown,
        example=SETTLED,
        act="settle_discrepancy",
    )
    def post(self, request: Request, discrepancy_id: int) -> Response:
        call = _call(self, discrepancy_id, story_requests.UnrecordedSwapSent)
        found = call.pop("unit")
        with refused_under("happened"):
            settled = settle_as_unrecorded_swap(found_unit_id=found, **call)
        return _answered(settled)


class UnknownUnit(Door):
    @described(
        tag="Walk-rounds",
        name="settle_as_unknown_unit",
        summary="Settle by putting the unit on record",
        description="Enters the unit that was found and records that it went on then. Without a life "
        "statement the data of its limits are missing until there is one.",
        takes=story_requests.UnknownUnitSent,
        sent=UNIT_SENT,
        answer=SettlementShown,
        example={**SETTLED, "sort": "unit_received"},
        act="settle_discrepancy",
    )
    def post(self, request: Request, discrepancy_id: int) -> Response:
        call = _call(self, discrepancy_id, story_requests.UnknownUnitSent)
        with refused_under("happened"):
            settled = settle_as_unknown_unit(**call)
        return _answered(settled)


def _call(door: Door, discrepancy_id: int, shape: type[Shape]) -> dict[str, Any]:
    """What both acts are called with: who, which discrepancy, what was brought."""
    sentence = f"No discrepancy has the id {discrepancy_id}. See /api/v1/discrepancies."
    rows = Discrepancy.objects.all()
    held = found_or_missing(rows, "unknown_discrepancy", sentence, pk=discrepancy_id)
    sent = door.brought(shape)
    recorded = sent.pop("recorded_unit")
    return {
        "by": door.person,
        "discrepancy_id": held.pk,
        "at": timezone.now(),
        "recorded_unit_id": recorded,
        **sent,
    }


def _answered(settled: Settled) -> Response:
    return answer(SettlementShown(settled.settlement).data, is_new=settled.is_new)
