"""Doors of walk-rounds, of what was seen on them, and of what was found to differ."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from equipment.common.doors.requests import PlaceSent
from equipment.common.doors.responses import PlaceShown, with_place
from equipment.findings.acts.walk_rounds import SEE_POSITION, Sighted
from equipment.models import Discrepancy, WalkRound
from equipment.units.doors.papers import SightingShown, sightings_shown
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.fields import StrictBoolean
from fleet.doors.lists import listed
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown

from . import examples


class WalkRoundShown(RowShown):
    of = WalkRound
    shows = "id aircraft.registration zone station.code started_at started_by.username"


class DifferenceShown(RowShown):
    of = Discrepancy
    shows = """
        id sort words aircraft.registration swap walk_round sighting movement recorded_unit
        found_unit found_at found_by.username
    """
    place = PlaceShown(allow_null=True)
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
    get = listed(
        "list_walk_rounds",
        tag="Walk-rounds",
        summary="Walk-rounds",
        description="Checks of what is really on an aircraft, the latest first.",
        shows=WalkRoundShown,
        example=examples.WALK_ROUND,
        rows=rounds_shown,
        order=("-pk",),
    )


class Differences(Door):
    get = listed(
        "list_discrepancies",
        tag="Walk-rounds",
        summary="Discrepancies",
        description="What was found to differ from the records, those that were settled too.",
        shows=DifferenceShown,
        example=examples.DIFFERENCE,
        rows=differences_shown,
        order=("-pk",),
        asks=DifferencesAsked,
        by={"is_open": "settlement__isnull"},
    )


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
LookSent = act_request_of(SEE_POSITION, "LookSent", place=PlaceSent())
