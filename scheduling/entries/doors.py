"""What is read by programs of directives."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.urls import path
from rest_framework import serializers

from fleet.doors.door import Door
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown
from scheduling.models import Limit

from .compliance import with_compliance

EXAMPLE: dict[str, Any] = {
    "id": 41,
    "programme": "MP-1",
    "limit": "AD-27-03-A",
    "revision": "1",
    "document": "AD 27-03",
    "paragraph": "(a)",
    "from_on": "2027-05-10",
    "until_on": None,
    "units": 4,
    "undecided": 1,
    "unknown_serials": ["T4105"],
}


class DirectiveShown(RowShown):
    """A directive: how many units on record are under it, and the listed numbers that none of them has."""

    of = Limit
    shows = "id programme.code revision document paragraph from_on until_on"
    limit = serializers.CharField(source="code")
    units = serializers.IntegerField(help_text="Units on record that it applies to.")
    undecided = serializers.IntegerField(help_text="Of those, without a disposition.")
    unknown_serials = serializers.ListField(
        child=serializers.CharField(),
        help_text="Listed one by one, and no unit on record under it has the number.",
    )


def _directives() -> QuerySet[Limit]:
    return Limit.objects.filter(is_directive=True).select_related("programme")


class Directives(Door):
    get = listed(
        "list_directives",
        tag="Programme",
        summary="Directives",
        description="Each revision of each directive, with its units, how many have no disposition, and the "
        "listed serial numbers that no unit on record has.",
        shows=DirectiveShown,
        example=EXAMPLE,
        rows=_directives,
        order=("code", "pk"),
        completed=with_compliance,
    )


urlpatterns = [path("v1/directives", Directives.as_view(), name="api-directives")]
