"""A person proven by name and password at this moment: what a signature is given with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from axes.utils import reset
from django.contrib.auth import authenticate

from fleet.house.refusals import Refused
from fleet.models import User

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

    Failures are counted as those of signing in. Refuses ``credentials_wrong`` and, after too many
    failures, ``credentials_locked``, both at the field ``password``.
    """
    asked = getattr(request, "_request", request)  # of the API: what Django itself received
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
        raise Refused(
            "credentials_wrong",
            "This name and password do not belong together. Enter both again.",
            "password",
        )
    if request is not None:
        # Signing in would do this; a proof is none, and must not leave a half-counted lock behind.
        reset(username=user.username)
    return Proof(user, at)


def refuse_stale(proof: Proof, at: datetime) -> None:
    """This will refuse ``credentials_stale`` if the proof is older than two minutes, or of later."""
    if not timedelta(0) <= at - proof.at <= GOOD_FOR:
        raise Refused(
            "credentials_stale",
            "The password was entered more than two minutes ago. Enter it again and sign at once.",
            "password",
        )
