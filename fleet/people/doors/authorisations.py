"""Doors of authorisations: what people may sign, from when to when."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers

from fleet.acts.repeats import Recorded
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, found_or_missing
from fleet.doors.lists import listed
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown
from fleet.models import Authorisation
from fleet.people.acts.authorisations import END_AUTHORISATION, GRANT_AUTHORISATION


class AuthorisationShown(RowShown):
    of = Authorisation
    shows = "id number sort title acts aircraft_types kinds stamp from_on until_on"
    told = {
        "sort": "licence or approval.",
        "aircraft_types": "None: any.",
        "kinds": "None: any.",
        "until_on": "The last day on which it is good.",
    }
    person = serializers.CharField(source="user.username")
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


def authorisations_shown() -> QuerySet[Authorisation]:
    return Authorisation.objects.select_related("user", "ended")


class Authorisations(Door):
    get = listed(
        "list_authorisations",
        tag="People",
        summary="Authorisations",
        description="What people may sign, for which types and kinds, from when to when.",
        shows=AuthorisationShown,
        example=EXAMPLE,
        rows=authorisations_shown,
        order=("number", "pk"),
    )


def _held(authorisation_id: int) -> Authorisation:
    sentence = f"No authorisation has the id {authorisation_id}. See /api/v1/authorisations."
    found: Authorisation = found_or_missing(
        authorisations_shown(), "unknown_authorisation", sentence, pk=authorisation_id
    )
    return found


def _granted(made: Recorded) -> Authorisation:
    return _held(made.id)


def _ended(made: Recorded) -> Authorisation:
    return authorisations_shown().get(ended=made.id)


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
