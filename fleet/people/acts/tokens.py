"""Keys for programs: made and shown once, kept as a digest, withdrawn."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import NamedTuple

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import choice, coded, day, text
from fleet.doors.tokens import digest_of, is_within_rights
from fleet.house.desks import ROLES, ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refused
from fleet.models import ApiToken, User

PREFIX = "gb_"


@dataclass(frozen=True, slots=True)
class NewToken:
    """A key for a program: who answers for it, in which role, until when."""

    user_id: int = coded("Person answerable", User, "username", "person", name="user")
    role: str = choice("Role", ROLES)
    label: str = text("What it is for", 80)
    expires_on: date | None = day("First day it no longer works", default=None)


class MadeToken(NamedTuple):
    """A token just made. ``secret`` exists here and nowhere else: show it once."""

    token: ApiToken
    secret: str


@transaction.atomic
def make_token(
    *,
    by: User,
    user: User,
    label: str,
    role: str,
    at: datetime,
    expires_at: datetime | None = None,
) -> MadeToken:
    """This will make a token of one role for which ``user`` is answerable.

    Refuses: an unknown role, a role that the person does not hold (reading alone is open to all
    who hold one), an expiry in the past, a label missing or in use.
    """
    ask(by, "manage_tokens")
    label = label.strip()
    _reasons_against(user, label, role, at, expires_at).refuse()
    secret = PREFIX + secrets.token_urlsafe(32)
    token = ApiToken.objects.create(
        user=user,
        label=label,
        role=role,
        digest=digest_of(secret),
        created_at=at,
        expires_at=expires_at,
    )
    return MadeToken(token, secret)


def make_token_asked(*, by: User, token: NewToken, at: datetime) -> MadeToken:
    """This will make a token as a person asks for it: its last day ends where the operator reckons.

    Refuses as :func:`make_token` does, and a person that there is not.
    """
    user = User.objects.filter(pk=token.user_id, is_active=True).first()
    if user is None:
        ask(by, "manage_tokens")
        raise Refused("unknown_person", "There is no such person: look the name up again.", "user")
    ends = datetime.combine(token.expires_on, time(), zone()) if token.expires_on else None
    return make_token(by=by, user=user, label=token.label, role=token.role, at=at, expires_at=ends)


def _reasons_against(
    user: User, label: str, role: str, at: datetime, expires_at: datetime | None
) -> Reasons:
    reasons = Reasons()
    if not label:
        reasons.add(
            "label_missing", "Say what the token is for, such as “shop interface”.", "label"
        )
    if role not in dict(ROLES):
        reasons.add("unknown_role", f"There is no role “{role}”. Choose one of the list.", "role")
    elif not is_within_rights(role, user):
        reasons.add(
            "role_not_held",
            f"{user.shown_name} does not hold the role {dict(ROLES)[role].lower()}, and a token never"
            " may more than its person. Choose another role or person.",
            "role",
        )
    if expires_at is not None and expires_at <= at:
        reasons.add("expiry_past", "The expiry is in the past. Give a later day.", "expires_on")
    if ApiToken.objects.filter(user=user, label=label, withdrawn_at__isnull=True).exists():
        reasons.add(
            "label_in_use",
            f"{user.shown_name} already has a token called “{label}”. Withdraw it or name this otherwise.",
            "label",
        )
    return reasons


@transaction.atomic
def withdraw_token(*, by: User, token_id: int, at: datetime) -> ApiToken:
    """This will end a token now. Withdrawing it again changes nothing. Refuses an unknown one."""
    ask(by, "manage_tokens")
    token = ApiToken.objects.select_for_update().filter(pk=token_id).first()
    if token is None:
        raise Refused("unknown_token", "There is no such token. It may be from another list.")
    if token.withdrawn_at is None:
        token.withdrawn_at = at
        token.save(update_fields=["withdrawn_at"])
    return token


# --- declared ---------------------------------------------------------------------------------

MAKE_TOKEN = Act(
    name="make_token",
    does=make_token_asked,
    said=NewToken,
    as_="token",
    who="manage_tokens",
    known_by="the person and what it is for",
    summary="Make a token",
    description="Makes a key of one role for a program. It is shown once, on the page.",
)
