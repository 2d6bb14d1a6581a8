"""The one-time address of a person: made by an administrator, used once by whoever it is for."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from django.contrib.auth.hashers import make_password
from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import PersonAct, User
from fleet.people.links import person_of_link
from fleet.people.passwords import why_not_password

from .ledger import hold_people, note, person_held
from .of_person import OfPerson
from .sessions import end_all_sessions

CONSOLE = "at the server"


@transaction.atomic
def make_link(*, by: User, person_id: int, act_id: UUID, at: datetime) -> User:
    """This will make a new one-time address for a person, told by :func:`fleet.people.links.link_of`;
    one made before opens nothing any more. A password that there is goes on working until the address is used.

    Refuses an unknown person, and one who is deactivated.
    """
    ask(by, "manage_people")
    hold_people()
    rows = PersonAct.objects.filter(act_id=act_id, act="linked").select_related("person")
    if done := done_before(act_id, "make_link", {"person_id": person_id}, rows, by=by, at=at):
        return done.person
    return _linked(person_held(person_id), by, at, "", act_id)


@transaction.atomic
def make_link_at_server(*, username: str, at: datetime) -> User:
    """This will make such an address for whoever is at the server itself, who could do anything; so that
    the only administrator's forgotten password ends nothing. No door but the command leads here.

    Refuses as :func:`make_link` does.
    """
    found = User.objects.filter(username=username).values_list("pk", flat=True).first()
    return _linked(person_held(found or 0), None, at, CONSOLE, None)


def _linked(person: User, by: User | None, at: datetime, words: str, act_id: UUID | None) -> User:
    if not person.is_active:
        words = f"{person.shown_name} is deactivated. Make the account active again first."
        raise Refused("person_deactivated", words, "person")
    person.link_made_at = at
    person.save(update_fields=["link_made_at"])
    note("linked", [person], by=by, at=at, words=words, act_id=act_id)
    return person


@transaction.atomic
def choose_password(*, link: str, password: str, at: datetime) -> User:
    """This will give the person of an open address this password; the address is used up, and who was
    signed in by an older password no longer is.

    Refuses as :func:`fleet.people.links.person_of_link` does, and a password that will not do.
    """
    hold_people()
    person = person_of_link(link, at)
    if refusals := why_not_password(password, person):
        raise Refused.all_of(refusals)
    person.password, person.link_made_at = make_password(password), None
    person.save(update_fields=["password", "link_made_at"])
    end_all_sessions(person)
    note("password_chosen", [person], by=person, at=at)
    return person


# --- declared ---------------------------------------------------------------------------------

MAKE_LINK = Act(
    name="make_link",
    does=make_link,
    said=OfPerson,
    who="manage_people",
    tag="People",
    summary="Make a one-time address",
    description="Makes an address at which the person chooses a new password, once. One made before "
    "opens nothing any more.",
    address="people/<int:person_id>/link",
    in_address=("person_id",),
    example={"act_id": EXAMPLE_ID},
)
