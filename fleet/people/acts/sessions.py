"""Where people are signed in: noted as they sign in, ended by themselves or by an administrator."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib.sessions.models import Session
from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.repeats import done_before
from fleet.house.addresses import client_address
from fleet.house.desks import ask
from fleet.models import PersonAct, SignedIn, User
from fleet.people.browsers import browser_words

from .ledger import note, person_held
from .of_person import OfPerson


def note_signed_in(*, user: User, request: Any, at: datetime) -> None:
    """This will keep in which browser a person has signed in, beside the session. Signing in asks for it."""
    session = request.session
    if not Session.objects.filter(pk=session.session_key or "").exists():
        session.create()  # it may be kept only after the answer
    SignedIn.objects.get_or_create(  # asked again in place, it is the same session
        session_id=session.session_key,
        defaults={
            "user": user,
            "began_at": at,
            "address": (client_address(request) or "")[:45],
            "browser": request.META.get("HTTP_USER_AGENT", "")[:200],
        },
    )


def end_all_sessions(person: User, but: str | None = None) -> int:
    """This will end every session of a person, save that of the key ``but``; how many. Asked for by
    other acts."""
    signed_in = SignedIn.objects.filter(user=person).exclude(session_id=but or "")
    keys = list(signed_in.values_list("session_id", flat=True))
    Session.objects.filter(pk__in=keys).delete()
    return len(keys)


@transaction.atomic
def end_own_session(*, by: User, signed_in_id: int, at: datetime) -> None:
    """This will end one of a person's own sessions; one that has ended changes nothing."""
    ask(by, "read")
    found = SignedIn.objects.filter(pk=signed_in_id, user=by).first()
    if found is None:
        return
    Session.objects.filter(pk=found.session_id).delete()
    note("sessions_ended", [by], by=by, at=at, words=f"one: {browser_words(found.browser)}")


@transaction.atomic
def end_other_sessions(*, by: User, this: str | None, at: datetime) -> int:
    """This will end a person's own sessions but the one of this key; how many."""
    ask(by, "read")
    ended = end_all_sessions(by, but=this)
    note("sessions_ended", [by], by=by, at=at, words=f"{ended} others")
    return ended


@transaction.atomic
def end_sessions(*, by: User, person_id: int, act_id: UUID, at: datetime) -> User:
    """This will end every session of a person, who then has to sign in again. Refuses an unknown one."""
    ask(by, "manage_people")
    rows = PersonAct.objects.filter(act_id=act_id, act="sessions_ended").select_related("person")
    told = {"person_id": person_id}
    if done := done_before(act_id, "end_sessions", told, rows, by=by, at=at):
        return done.person
    person = person_held(person_id)
    words = f"all: {end_all_sessions(person)}"
    note("sessions_ended", [person], by=by, at=at, words=words, act_id=act_id)
    return person


# --- declared ---------------------------------------------------------------------------------

END_SESSIONS = Act(
    name="end_sessions",
    does=end_sessions,
    said=OfPerson,
    who="manage_people",
    tag="People",
    summary="End a person's sessions",
    description="Ends every session of a person, who then has to sign in again.",
    address="people/<int:person_id>/end-sessions",
    in_address=("person_id",),
    example={"act_id": EXAMPLE_ID},
)
