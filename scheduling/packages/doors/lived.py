"""What programs are shown of a package that was handed over, and the door of its aircraft's release."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.fields import Act, Credentials
from equipment.common.pages.proving import proof_by
from fleet.acts.act import EXAMPLE_ID
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, answer
from fleet.doors.schema import described
from scheduling.models import CheckReleased
from scheduling.packages.acts.releasing import release_check

from ..standing import WORDS


class ItemLived(serializers.Serializer[Any]):
    id = serializers.IntegerField(source="row.pk")
    number = serializers.IntegerField(source="row.number")
    words = serializers.CharField(source="row.words")
    due_item = serializers.IntegerField(source="row.due_item")
    state = serializers.ChoiceField(list(WORDS), source="standing.state")
    said = serializers.CharField(source="standing.words", help_text="What shows it, or why not.")
    swap = serializers.IntegerField(source="standing.swap_id", allow_null=True)


class FindingLived(serializers.Serializer[Any]):
    discrepancy = serializers.IntegerField(source="id")
    words = serializers.CharField()
    settled = serializers.CharField(help_text="Empty while it is not.")


class HandedShown(serializers.Serializer[Any]):
    """A package since it was handed over."""

    to = serializers.CharField(source="last.to.username")
    handed_at = serializers.DateTimeField(source="last.handed_at")
    items = ItemLived(many=True)
    findings = FindingLived(many=True)
    closed_at = serializers.DateTimeField(source="closed.closed_at", default=None, allow_null=True)
    released_at = serializers.DateTimeField(
        source="release.signed_at", default=None, allow_null=True
    )


HANDED = {
    "to": "technician",
    "handed_at": "2027-03-01T10:00:00Z",
    "items": [
        {
            "id": 12,
            "number": 1,
            "words": "D1L-SLIDE, HS-4120 S/N S0817: Overhaul",
            "due_item": 2147483649,
            "state": "begun",
            "said": "Swap 81 is open.",
            "swap": 81,
        }
    ],
    "findings": [],
    "closed_at": None,
    "released_at": None,
}


class ReleaseSigned(serializers.Serializer[Any]):
    """An aircraft's release after a check."""

    check_released = serializers.IntegerField(source="closed.check_planned_id")
    name = serializers.CharField()
    statement = serializers.CharField()
    authorisation = serializers.CharField(source="authorisation_words")
    signed_at = serializers.DateTimeField()
    digest = serializers.CharField()
    rests_on = serializers.JSONField(source="content", help_text="What was signed.")


class ReleaseSent(Act, Credentials):
    """A signature: the act, and who gives it."""


RELEASE = {
    "check_released": 31,
    "name": "C. Ertify",
    "statement": "I certify that the work was carried out as the data require.",
    "authorisation": "licence Q-123, certifying engineer, until 31 Dec 2027",
    "signed_at": "2027-03-02T14:00:00Z",
    "digest": "0f" * 32,
    "rests_on": {"check": 31, "aircraft": "Q7-VAB"},
}


class CheckRelease(Door):
    @described(
        tag="Plan",
        name="release_check",
        summary="Release an aircraft after a check",
        description="Signs that an aircraft is released after a check that is closed, by the statement of the rules "
        "in force. Everything that grounds the aircraft is named. Needs username and password: the token alone "
        "signs nothing.",
        takes=ReleaseSent,
        sent={"act_id": EXAMPLE_ID, "username": "certifying", "password": "a long password"},
        answer=ReleaseSigned,
        example=RELEASE,
        act="release_check",
    )
    def post(self, request: Request, check_id: int) -> Response:
        sent = self.brought(ReleaseSent)
        proof = proof_by(request, {name: sent.pop(name) for name in ("username", "password")})
        at, act_id = timezone.now(), sent["act_id"]
        made: CheckReleased = release_check(proof=proof, check_id=check_id, act_id=act_id, at=at)
        is_new = done_now(act_id, "release_check", at)
        return answer(ReleaseSigned(made).data, is_new=is_new)
