"""Doors of authorisations: what people may sign, from when to when."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.doors import examples
from fleet.doors.door import Door, Paged, answer, found_or_missing
from fleet.doors.fields import Day, KeyOf, Shape, StrictText
from fleet.doors.schema import described, page_of
from fleet.house.refusals import Refused
from fleet.models import Authorisation, User
from fleet.people.acts.authorisations import (
    NewAuthorisation,
    end_authorisation,
    grant_authorisations,
)


class AuthorisationShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    person = serializers.CharField(source="user.username")
    number = serializers.CharField()
    sort = serializers.CharField(help_text="licence or approval.")
    title = serializers.CharField()
    acts = serializers.ListField(child=serializers.CharField())
    aircraft_types = serializers.ListField(child=serializers.CharField(), help_text="None: any.")
    kinds = serializers.ListField(child=serializers.CharField(), help_text="None: any.")
    stamp = serializers.CharField()
    from_on = serializers.DateField()
    until_on = serializers.DateField(help_text="The last day on which it is good.")
    ended_on = serializers.DateField(
        source="ended.ended_on", default=None, allow_null=True, help_text="An early end."
    )


class AuthorisationSent(Shape):
    """An authorisation; the same number, day and contents again is the same act."""

    person = KeyOf(
        User, "username", "person", max_length=150, help_text="The name to sign in with."
    )
    number = StrictText(max_length=40)
    sort = serializers.ChoiceField(Authorisation.SORTS)
    title = StrictText(required=False, default="", allow_blank=True, max_length=80)
    acts = serializers.ListField(
        child=serializers.ChoiceField(Authorisation.ACTS), min_length=1, max_length=10
    )
    aircraft_types = serializers.ListField(
        child=StrictText(max_length=24), max_length=100, default=list
    )
    kinds = serializers.ListField(child=StrictText(max_length=24), max_length=100, default=list)
    stamp = StrictText(required=False, default="", allow_blank=True, max_length=24)
    from_on = Day()
    until_on = Day(help_text="The last day on which it is good.")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        person = attrs.pop("person")
        return {"new": NewAuthorisation(**attrs, user_id=person)}


class AuthorisationEndSent(Shape):
    """An authorisation ended before its last day; the same again is the same act."""

    ended_on = Day(help_text="The first day on which it is no longer good.")
    reason = StrictText(max_length=120)


@contextmanager
def _of_one() -> Iterator[None]:
    """This will tell the fields of the one row that a door takes without its place."""
    try:
        yield
    except Refused as refused:
        found = [replace(e, field=e.field and e.field.removeprefix("0.")) for e in refused.refusals]
        raise Refused.all_of(found) from refused


class Authorisations(Door):
    @described(
        tag="People",
        name="list_authorisations",
        summary="Authorisations",
        description="What people may sign, for which types and kinds, from when to when.",
        query=Paged,
        answer=page_of(AuthorisationShown),
        example={"next": None, "results": [examples.AUTHORISATION]},
    )
    def get(self, request: Request) -> Response:
        rows = Authorisation.objects.select_related("user", "ended")
        return self.page(rows, ("number", "pk"), AuthorisationShown, self.asked(Paged))

    @described(
        tag="People",
        name="grant_authorisation",
        summary="Grant an authorisation",
        description="Puts a licence or company approval on record. It is checked when a person signs, "
        "and copied into the signature.",
        takes=AuthorisationSent,
        sent=examples.AUTHORISATION_SENT,
        answer=AuthorisationShown,
        example=examples.AUTHORISATION,
        act="enter_authorisation",
    )
    def post(self, request: Request) -> Response:
        new = self.brought(AuthorisationSent)["new"]
        with _of_one():
            [granted] = grant_authorisations(by=self.person, rows=[new], at=timezone.now())
        return answer(AuthorisationShown(_held(granted.id)).data, is_new=granted.is_new)


class AuthorisationEndDoor(Door):
    @described(
        tag="People",
        name="end_authorisation",
        summary="End an authorisation",
        description="Ends an authorisation before its last day. What was signed under it stays.",
        takes=AuthorisationEndSent,
        sent={"ended_on": "2024-06-01", "reason": "Left the house."},
        answer=AuthorisationShown,
        example={**examples.AUTHORISATION, "ended_on": "2024-06-01"},
        act="enter_authorisation",
    )
    def post(self, request: Request, authorisation_id: int) -> Response:
        held, sent = _held(authorisation_id), self.brought(AuthorisationEndSent)
        ended = end_authorisation(
            by=self.person, authorisation_id=held.pk, at=timezone.now(), **sent
        )
        return answer(AuthorisationShown(_held(held.pk)).data, is_new=ended.is_new)


def _held(authorisation_id: int) -> Authorisation:
    sentence = f"No authorisation has the id {authorisation_id}. See /api/v1/authorisations."
    rows = Authorisation.objects.select_related("user", "ended")
    found: Authorisation = found_or_missing(
        rows, "unknown_authorisation", sentence, pk=authorisation_id
    )
    return found
