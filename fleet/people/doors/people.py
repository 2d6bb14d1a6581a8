"""Doors of people: who works here, in which roles; and what an administrator does about them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.urls import path, reverse
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.acts.act import Act
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.fields import Instant
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described, page_of
from fleet.models import User
from fleet.people.acts.changes import CHANGE_PERSON, DEACTIVATE_PERSON, REACTIVATE_PERSON
from fleet.people.acts.handing_on import HAND_ON_JOBS
from fleet.people.acts.links import MAKE_LINK
from fleet.people.acts.people import INVITE_PERSON
from fleet.people.acts.sessions import END_SESSIONS
from fleet.people.jobs import jobs_of
from fleet.people.links import good_until, link_of


class PersonShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    username = serializers.CharField()
    first_name = serializers.CharField()
    last_name = serializers.CharField()
    roles = serializers.ListField(child=serializers.CharField())
    home_station = serializers.CharField(
        source="home_station.code", default=None, allow_null=True, help_text="Its code."
    )
    is_active = serializers.BooleanField(help_text="False: cannot sign in any more.")
    is_waited_for = serializers.BooleanField(help_text="Invited, and no password chosen yet.")


class LinkShown(PersonShown):
    """With the one-time address, which is in no other answer."""

    link = serializers.SerializerMethodField(help_text="Where the person chooses a password, once.")
    link_until = serializers.SerializerMethodField(help_text="Until when the address is good.")

    def get_link(self, person: User) -> str | None:
        link = link_of(person)
        return reverse("join", args=[link]) if link else None

    def get_link_until(self, person: User) -> str | None:
        until = good_until(person) if link_of(person) else None
        return Instant(read_only=True).to_representation(until) if until else None


class JobShown(serializers.Serializer[Any]):
    job = serializers.CharField(help_text="Its name, by which it is handed on.")
    words = serializers.CharField()
    address = serializers.CharField(help_text="Its page.")
    part = serializers.CharField(help_text="What the person had to do with it.")
    since = Instant(help_text="Since when it is open.")
    handed_on_to = serializers.CharField(
        allow_null=True, help_text="Whose it is now; null: it waits in this person's hands."
    )
    handed_on_by = serializers.CharField(allow_null=True)
    handed_on_at = Instant(allow_null=True)


class GoneShown(PersonShown):
    """With the open jobs: what waits for somebody else, what was handed on."""

    jobs = serializers.SerializerMethodField()

    def get_jobs(self, person: User) -> list[dict[str, str]]:
        found: list[dict[str, str]] = JobShown(jobs_of(person), many=True).data  # type: ignore[assignment]
        return found


PERSON: dict[str, Any] = {
    "id": 7,
    "username": "d.follows",
    "first_name": "Dagny",
    "last_name": "Follows",
    "roles": ["technician"],
    "home_station": "LYD",
    "is_active": True,
    "is_waited_for": False,
}
LINK = {
    **PERSON,
    "is_waited_for": True,
    "link": "/join/eyJwZXJzb24iOjd9:4mO8l/",
    "link_until": "2024-03-06T09:12:00Z",
}
JOB = {
    "job": "swap-4",
    "words": "Q-AVEN D1L: overhaul",
    "address": "/swaps/4/",
    "part": "opened it",
    "since": "2024-03-01T09:12:00Z",
    "handed_on_to": None,
    "handed_on_by": None,
    "handed_on_at": None,
}
HANDED_ON = {
    **JOB,
    "handed_on_to": "d.follows",
    "handed_on_by": "o.quarrell",
    "handed_on_at": "2024-03-03T09:12:00Z",
}
GONE = {**PERSON, "is_active": False, "jobs": [JOB]}


def _people() -> QuerySet[User]:
    return User.objects.select_related("home_station")


def _person(person_id: int) -> User:
    sentence = f"No person has the id {person_id}. See /api/v1/people."
    found: User = found_or_missing(_people(), "unknown_person", sentence, pk=person_id)
    return found


class People(Door):
    @described(
        tag="People",
        name="list_people",
        summary="People",
        description="Who works here, in which roles; also who no longer signs in.",
        query=Paged,
        answer=page_of(PersonShown),
        example={"next": None, "results": [PERSON]},
    )
    def get(self, request: Request) -> Response:
        return self.page(_people(), ("username", "pk"), PersonShown, self.asked(Paged))


class PersonOne(Door):
    @described(
        tag="People",
        name="show_person",
        summary="One person",
        description="A person by the id.",
        answer=PersonShown,
        example=PERSON,
    )
    def get(self, request: Request, person_id: int) -> Response:
        return Response(PersonShown(_person(person_id)).data)


class PersonJobs(Door):
    @described(
        tag="People",
        name="list_jobs",
        summary="A person’s open jobs",
        description="Swaps, inspector’s calls, holds and units set aside that a person has in hand, or had when "
        "the account ended, and to whom they were handed on.",
        answer=GoneShown,
        example={**PERSON, "jobs": [JOB]},
    )
    def get(self, request: Request, person_id: int) -> Response:
        return Response(GoneShown(_person(person_id)).data)


def _again(person: User) -> User:
    return _person(person.pk)


def _door(
    act: Act, shows: type[PersonShown], example: dict[str, Any], base: type[Door] = Door
) -> Any:
    """The door of an act about a person, who is looked up first where the address names one."""
    sent = act_request_of(act, f"{act.name.title().replace('_', '')}Sent")
    look_up = _person if act.in_address else None
    return act_door(act, sent, shows, example, look_up=look_up, shown=_again, base=base)


urlpatterns = [
    act_path(INVITE_PERSON, _door(INVITE_PERSON, LinkShown, LINK, People), "api-people"),
    path("v1/people/<int:person_id>", PersonOne.as_view(), name="api-person"),
    act_path(CHANGE_PERSON, _door(CHANGE_PERSON, PersonShown, PERSON), "api-person-change"),
    act_path(DEACTIVATE_PERSON, _door(DEACTIVATE_PERSON, GoneShown, GONE), "api-person-deactivate"),
    act_path(
        HAND_ON_JOBS,
        _door(HAND_ON_JOBS, GoneShown, {**GONE, "jobs": [HANDED_ON]}, PersonJobs),
        "api-person-jobs",
    ),
    act_path(
        REACTIVATE_PERSON, _door(REACTIVATE_PERSON, PersonShown, PERSON), "api-person-reactivate"
    ),
    act_path(MAKE_LINK, _door(MAKE_LINK, LinkShown, LINK), "api-person-link"),
    act_path(END_SESSIONS, _door(END_SESSIONS, PersonShown, PERSON), "api-person-end-sessions"),
]
