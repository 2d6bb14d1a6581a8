"""A person proven by name and password at this moment: what a signature is given with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from axes.utils import reset
from django.contrib.auth import authenticate

from fleet.house.addresses import client_address
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.guessing import refuse_guessing

#: A proof older than this signs nothing: whoever entered it may have gone.
GOOD_FOR = timedelta(minutes=2)
MOST_NAME = 150


@dataclass(frozen=True, slots=True)
class Proof:
    """Who entered the own credentials, and when. Made only by :func:`prove`."""

    user: User
    at: datetime


def prove(request: Any, *, username: str, password: str, at: datetime) -> Proof:
    """This will prove a person by their own name and password, on whichever device they enter them.

    Failures are counted as those of signing in. Refuses ``credentials_wrong``; after too many failures
    ``credentials_locked``; after those of too many names ``credentials_slowed``; ``person_deactivated`` only to
    who knows the password. All at the field ``password``.
    """
    asked = getattr(request, "_request", request)  # of the API: what Django itself received
    refuse_guessing(asked, at)
    # The database keeps no such sign; with another in its place the name is simply not known.
    name = username.strip().replace("\x00", "?")[:MOST_NAME]
    user = authenticate(asked, username=name, password=password)
    if getattr(asked, "axes_locked_out", False):
        raise Refused(
            "credentials_locked",
            "Too many wrong passwords for this name from here. Wait a quarter of an hour, or ask"
            " the administrator.",
            "password",
        )
    if not isinstance(user, User):
        refuse_deactivated(name, password)
        raise Refused(
            "credentials_wrong",
            "This name and password do not belong together. Enter both again.",
            "password",
        )
    if request is not None:
        # What was counted here is counted off; what somebody guesses elsewhere goes on being counted.
        reset(ip=client_address(asked), username=user.username)
    return Proof(user, at)


def refuse_deactivated(name: str, password: str) -> None:
    """This will say to who knows the password of a deactivated person that it is so; to nobody else."""
    person = User.objects.filter(username=name, is_active=False).first()
    if person is not None and person.check_password(password):
        raise Refused(
            "person_deactivated",
            "This account is deactivated: nothing can be done or signed with it. Ask an administrator.",
            "password",
        )


def refuse_stale(proof: Proof, at: datetime) -> None:
    """This will refuse ``credentials_stale`` if the proof is older than two minutes, or of later."""
    if not timedelta(0) <= at - proof.at <= GOOD_FOR:
        raise Refused(
            "credentials_stale",
            "The password was entered more than two minutes ago. Enter it again and sign at once.",
            "password",
        )
