"""Doors of walk-rounds, of what was seen on them, and of what was found to differ."""

from __future__ import annotations

from typing import Any

from django.urls import path
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.requests import PlaceSent
from equipment.common.doors.responses import PlaceShown, with_place
from equipment.findings.acts.by_fact import SETTLE
from equipment.findings.acts.walk_rounds import SEE_POSITION, START_WALK_ROUND, Sighted
from equipment.models import Discrepancy, WalkRound
from equipment.units.doors.papers import SightingShown, sightings_shown
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.fields import Instant, StrictBoolean
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described, page_of

from . import examples


class WalkRoundShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    aircraft = serializers.CharField(source="aircraft.registration")
    zone = serializers.CharField()
    station = serializers.CharField(source="station.code")
    started_at = Instant(read_only=True)
    started_by = serializers.CharField(source="started_by.username")


class DifferenceShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    sort = serializers.CharField()
    words = serializers.CharField()
    aircraft = serializers.CharField(source="aircraft.registration", default=None, allow_null=True)
    place = PlaceShown(allow_null=True)
    swap = serializers.IntegerField(source="swap_id", allow_null=True)
    walk_round = serializers.IntegerField(source="walk_round_id", allow_null=True)
    sighting = serializers.IntegerField(source="sighting_id", allow_null=True)
    movement = serializers.IntegerField(source="movement_id", allow_null=True)
    recorded_unit = serializers.IntegerField(source="recorded_unit_id", allow_null=True)
    found_unit = serializers.IntegerField(source="found_unit_id", allow_null=True)
    found_at = Instant(read_only=True)
    found_by = serializers.CharField(source="found_by.username")
    settled_how = serializers.CharField(source="settlement.sort", default=None, allow_null=True)
    settled_words = serializers.CharField(source="settlement.words", default=None, allow_null=True)


class LookShown(SightingShown):
    """What was kept of the look, and what was found to differ."""

    differences = DifferenceShown(many=True)


class DifferencesAsked(Paged):
    is_open = StrictBoolean(required=False, help_text="true: those that nobody has settled.")


def rounds_shown() -> Any:
    return WalkRound.objects.select_related("aircraft", "station", "started_by")


def differences_shown() -> Any:
    return Discrepancy.objects.select_related(
        "aircraft", "found_by", "settlement", *with_place("place")
    )


class WalkRounds(Door):
    @described(
        tag="Walk-rounds",
        name="list_walk_rounds",
        summary="Walk-rounds",
        description="Checks of what is really on an aircraft, the latest first.",
        query=Paged,
        answer=page_of(WalkRoundShown),
        example={"next": None, "results": [examples.WALK_ROUND]},
    )
    def get(self, request: Request) -> Response:
        return self.page(rounds_shown(), ("-pk",), WalkRoundShown, self.asked(Paged))


class Differences(Door):
    @described(
        tag="Walk-rounds",
        name="list_discrepancies",
        summary="Discrepancies",
        description="What was found to differ from the records, those that were settled too.",
        query=DifferencesAsked,
        answer=page_of(DifferenceShown),
        example={"next": None, "results": [examples.DIFFERENCE]},
    )
    def get(self, request: Request) -> Response:
        asked, rows = self.asked(DifferencesAsked), differences_shown()
        if "is_open" in asked:
            rows = rows.filter(settlement__isnull=asked["is_open"])
        return self.page(rows, ("-pk",), DifferenceShown, asked)


def look_up_walk(walk_round_id: int) -> None:
    sentence = f"No walk-round has the id {walk_round_id}. See /api/v1/walk-rounds."
    found_or_missing(rounds_shown(), "unknown_walk_round", sentence, pk=walk_round_id)


def look_up_difference(discrepancy_id: int) -> None:
    sentence = f"No discrepancy has the id {discrepancy_id}. See /api/v1/discrepancies."
    found_or_missing(differences_shown(), "unknown_discrepancy", sentence, pk=discrepancy_id)


def look_shown(seen: Sighted) -> Any:
    """The sighting that was kept, with the differences that it made."""
    sighting = sightings_shown().get(pk=seen.sighting.pk)
    found = differences_shown().filter(pk__in=[each.pk for each in seen.discrepancies])
    sighting.differences = list(found.order_by("pk"))
    return sighting


SETTLED = {**examples.DIFFERENCE, "settled_how": "put_right", "settled_words": "Pin stowed."}
WalkRoundSent = act_request_of(START_WALK_ROUND, "WalkRoundSent")
LookSent = act_request_of(SEE_POSITION, "LookSent", place=PlaceSent())
SettlementSent = act_request_of(SETTLE, "SettlementSent")
WalkRoundDoor = act_door(
    START_WALK_ROUND,
    WalkRoundSent,
    WalkRoundShown,
    examples.WALK_ROUND,
    shown=lambda made: rounds_shown().get(pk=made.pk),
    base=WalkRounds,
)
LookDoor = act_door(
    SEE_POSITION, LookSent, LookShown, examples.LOOK, shown=look_shown, look_up=look_up_walk
)
SettlementDoor = act_door(
    SETTLE,
    SettlementSent,
    DifferenceShown,
    SETTLED,
    shown=lambda settled: differences_shown().get(pk=settled.settlement.discrepancy_id),
    look_up=look_up_difference,
)

urlpatterns = [
    act_path(START_WALK_ROUND, WalkRoundDoor, "api-walk-rounds"),
    act_path(SEE_POSITION, LookDoor, "api-walk-round-sightings"),
    path("v1/discrepancies", Differences.as_view(), name="api-discrepancies"),
    act_path(SETTLE, SettlementDoor, "api-discrepancy-settlement"),
]
