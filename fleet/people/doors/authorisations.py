"""Doors of authorisations: what people may sign, from when to when."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.acts.repeats import Recorded
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described, page_of
from fleet.models import Authorisation
from fleet.people.acts.authorisations import END_AUTHORISATION, GRANT_AUTHORISATION


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


EXAMPLE: dict[str, Any] = {"id": 17, **GRANT_AUTHORISATION.example, "ended_on": None}
AuthorisationSent = act_request_of(
    GRANT_AUTHORISATION,
    "AuthorisationSent",
    "An authorisation; the same number, day and contents again is the same act.",
    acts=serializers.ListField(
        child=serializers.ChoiceField(Authorisation.ACTS), min_length=1, max_length=10
    ),
)
AuthorisationEndSent = act_request_of(END_AUTHORISATION, "AuthorisationEndSent")


class Authorisations(Door):
    @described(
        tag="People",
        name="list_authorisations",
        summary="Authorisations",
        description="What people may sign, for which types and kinds, from when to when.",
        query=Paged,
        answer=page_of(AuthorisationShown),
        example={"next": None, "results": [EXAMPLE]},
    )
    def get(self, request: Request) -> Response:
        rows = Authorisation.objects.select_related("user", "ended")
        return self.page(rows, ("number", "pk"), AuthorisationShown, self.asked(Paged))


def _held(authorisation_id: int) -> Authorisation:
    sentence = f"No authorisation has the id {authorisation_id}. See /api/v1/authorisations."
    rows = Authorisation.objects.select_related("user", "ended")
    found: Authorisation = found_or_missing(
        rows, "unknown_authorisation", sentence, pk=authorisation_id
    )
    return found


def _granted(made: Recorded) -> Authorisation:
    return _held(made.id)


def _ended(made: Recorded) -> Authorisation:
    return Authorisation.objects.select_related("user", "ended").get(ended=made.id)


urlpatterns = [
    act_path(
        GRANT_AUTHORISATION,
        act_door(
            GRANT_AUTHORISATION,
            AuthorisationSent,
            AuthorisationShown,
            EXAMPLE,
            shown=_granted,
            base=Authorisations,
        ),
        "api-authorisations",
    ),
    act_path(
        END_AUTHORISATION,
        act_door(
            END_AUTHORISATION,
            AuthorisationEndSent,
            AuthorisationShown,
            {**EXAMPLE, "ended_on": "2024-06-01"},
            shown=_ended,
            look_up=_held,
        ),
        "api-authorisation-end",
    ),
]
