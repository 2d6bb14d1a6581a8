"""One-time addresses: by one a person chooses a password, by another the first person comes into an empty house.

An address is signed by the house's own key, and one of a person names the moment at which it was made, which the person's row
keeps while it is open: used, or followed by another, it opens nothing. No mail is sent: whoever makes it hands it on.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.core import signing

from fleet.house.refusals import Refused
from fleet.models import User
from fleet.words.said import moment_words

GOOD_FOR = timedelta(days=3)
FIRST_GOOD_FOR = timedelta(days=1)
_SALT, _FIRST_SALT = "greenband.people.link", "greenband.people.first"
_ASK = "Ask an administrator for another."
_AGAIN = "At the server, “manage.py first_person” prints another."


def link_of(person: User) -> str | None:
    """The last part of the person's open address; None if none is open."""
    if person.link_made_at is None or not person.is_active:
        return None
    told = {"person": person.pk, "made": person.link_made_at.isoformat()}
    return signing.Signer(salt=_SALT).sign_object(told)


def good_until(person: User) -> datetime | None:
    """Until when the open address is good."""
    return person.link_made_at + GOOD_FOR if person.link_made_at is not None else None


def person_of_link(link: str, at: datetime) -> User:
    """Whose address it is. Refuses ``unknown_link``, ``link_used`` and ``link_late``."""
    told = _opened(link, _SALT, _ASK)
    person = User.objects.filter(pk=told["person"], is_active=True).first()
    made_at = datetime.fromisoformat(told["made"])
    if person is None or person.link_made_at != made_at:
        words = f"This address was used already, or another was made after it. {_ASK}"
        raise Refused("link_used", words)
    _refuse_late(made_at + GOOD_FOR, at, _ASK)
    return person


def first_link(at: datetime) -> str:
    """The last part of an address for the first person of an empty house."""
    return signing.Signer(salt=_FIRST_SALT).sign_object({"made": at.isoformat()})


def refuse_first_link(link: str, at: datetime) -> None:
    """This will refuse an address for the first person that is none, that is too late, and any once
    the house has people."""
    told = _opened(link, _FIRST_SALT, _AGAIN)
    refuse_founded()
    _refuse_late(datetime.fromisoformat(told["made"]) + FIRST_GOOD_FOR, at, _AGAIN)


def refuse_founded() -> None:
    """This will refuse (``house_is_founded``) if anybody is here."""
    if User.objects.exists():
        raise Refused(
            "house_is_founded",
            "Somebody can sign in here already. Ask an administrator to make further people.",
        )


def _opened(link: str, salt: str, what_to_do: str) -> dict[str, Any]:
    try:
        told: dict[str, Any] = signing.Signer(salt=salt).unsign_object(link)
    except (signing.BadSignature, ValueError) as error:
        words = f"This address is not whole, or was not made here. Copy all of it. {what_to_do}"
        raise Refused("unknown_link", words) from error
    return told


def _refuse_late(until: datetime, at: datetime, what_to_do: str) -> None:
    if until < at:
        words = f"This address was good until {moment_words(until)}. {what_to_do}"
        raise Refused("link_late", words)
