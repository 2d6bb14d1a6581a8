"""Doors of walk-rounds, of what was seen on them, and of what was found to differ."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.responses import PlaceShown, with_place
from equipment.findings.acts.discrepancies import settle
from equipment.findings.acts.walk_rounds import see_position, start_walk_round
from equipment.models import Discrepancy, WalkRound
from equipment.units.doors.papers import SightingShown, sightings_shown
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, Paged, answer, found_or_missing
from fleet.doors.fields import Instant, StrictBoolean
from fleet.doors.schema import described, page_of

from . import examples, requests


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

    @described(
        tag="Walk-rounds",
        name="start_walk_round",
        summary="Begin a walk-round",
        description="Begins a check of what is really there, of one aircraft or one of its zones.",
        takes=requests.WalkRoundSent,
        sent=examples.WALK_ROUND_SENT,
        answer=WalkRoundShown,
        example=examples.WALK_ROUND,
        act="walk_round",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.WalkRoundSent), timezone.now()
        made = start_walk_round(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "start_walk_round", at)
        return answer(WalkRoundShown(rounds_shown().get(pk=made.pk)).data, is_new=is_new)


class Looks(Door):
    @described(
        tag="Walk-rounds",
        name="see_position",
        summary="Record what is at a position",
        description="Records what was read at a position. It moves nothing; each difference from the "
        "record becomes a discrepancy, once.",
        takes=requests.LookSent,
        sent=examples.LOOK_SENT,
        answer=LookShown,
        example=examples.LOOK,
        act="walk_round",
    )
    def post(self, request: Request, walk_round_id: int) -> Response:
        sentence = f"No walk-round has the id {walk_round_id}. See /api/v1/walk-rounds."
        walk = found_or_missing(rounds_shown(), "unknown_walk_round", sentence, pk=walk_round_id)
        sent = self.brought(requests.LookSent)
        seen = see_position(by=self.person, walk_round_id=walk.pk, at=timezone.now(), **sent)
        found = differences_shown().filter(pk__in=[each.pk for each in seen.discrepancies])
        body = {
            **SightingShown(sightings_shown().get(pk=seen.sighting.pk)).data,
            "differences": DifferenceShown(found.order_by("pk"), many=True).data,
        }
        return answer(body, is_new=seen.is_new)


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


class DifferenceSettlement(Door):
    @described(
        tag="Walk-rounds",
        name="settle_discrepancy",
        summary="Settle a discrepancy",
        description="Settles a discrepancy by a later fact that is on record: a movement, a swap, a work "
        "that the words name.",
        takes=requests.SettlementSent,
        sent=examples.SETTLEMENT_SENT,
        answer=DifferenceShown,
        example={**examples.DIFFERENCE, "settled_how": "put_right", "settled_words": "Pin stowed."},
        act="settle_discrepancy",
    )
    def post(self, request: Request, discrepancy_id: int) -> Response:
        sentence = f"No discrepancy has the id {discrepancy_id}. See /api/v1/discrepancies."
        held = found_or_missing(
            differences_shown(), "unknown_discrepancy", sentence, pk=discrepancy_id
        )
        sent = self.brought(requests.SettlementSent)
        settled = settle(by=self.person, discrepancy_id=held.pk, at=timezone.now(), **sent)
        shown = differences_shown().get(pk=held.pk)
        return answer(DifferenceShown(shown).data, is_new=settled.is_new)
