"""What is done about people, kept row by row; and the one lock under which it is done."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import connection

from fleet.house.desks import ADMINISTRATOR
from fleet.house.refusals import Refused
from fleet.models import PersonAct, User

_PEOPLE = 7_301_544_026
MOST_WORDS = 400


def hold_people() -> None:
    """One act about people at a time: two who take each other's last administrator, or found the same
    empty house, come one after the other."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_PEOPLE])


def note(
    act: str,
    people: Iterable[User],
    *,
    by: User | None,
    at: datetime,
    words: str = "",
    act_id: UUID | None = None,
) -> None:
    """This will keep that an act was done about these people. Asked for by other acts, never by a door."""
    token = by.acting_token if by is not None else None
    PersonAct.objects.bulk_create(
        PersonAct(
            person=person,
            act=act,
            words=words[:MOST_WORDS],
            act_id=act_id,
            at=at,
            by=by,
            token=token,
        )
        for person in people
    )


def person_held(person_id: int) -> User:
    """The person, theirs to change until the transaction ends; refuses ``unknown_person``."""
    hold_people()
    person = User.objects.select_for_update(of=("self",)).filter(pk=person_id).first()
    if person is None:
        raise Refused(
            "unknown_person", "There is no such person: look the name up again.", "person"
        )
    return person


def refuse_last_administrator(person: User, field: str | None = None) -> None:
    """This will refuse (``last_administrator``) to take away the only one who can manage people."""
    others = User.objects.filter(is_active=True, roles__contains=[ADMINISTRATOR])
    able = [each for each in others.exclude(pk=person.pk) if each.has_usable_password()]
    if person.is_active and ADMINISTRATOR in person.roles and not able:
        raise Refused(
            "last_administrator",
            f"{person.shown_name} is the only administrator who can sign in: nobody could manage people any"
            " more. Make another person administrator first.",
            field,
        )
