"""Keys for programs: made and shown once, kept as a digest, withdrawn."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import choice, coded, codes, day, text, yes_no
from fleet.doors.tokens import digest_of, is_within_rights
from fleet.house.desks import ACTS, ROLES, ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refused
from fleet.models import ApiToken, User
from fleet.words.said import day_words

from .ledger import note
from .notices import tell

PREFIX = "gb_"
#: A token that nobody gave another end works so long.
LASTS = timedelta(days=180)


def _acts() -> list[tuple[str, str]]:
    return [(act, act.replace("_", " ").capitalize()) for act in ACTS if act != "read"]


@dataclass(frozen=True, slots=True)
class NewToken:
    """A key for a program: who answers for it, in which role, for which acts, until when."""

    user_id: int = coded("Person answerable", User, "username", "person", name="user")
    role: str = choice("Role", ROLES)
    label: str = text("What it is for", 80)
    expires_on: date | None = day(
        "First day it no longer works",
        default=None,
        hint=f"Blank: {LASTS.days} days from now.",
    )
    never_expires: bool = yes_no("It works until it is withdrawn, without a last day")
    acts: Sequence[str] = codes(
        "Only these acts",
        40,
        choices=_acts,
        hint="None ticked: all that the role may. Every token reads; one of the auditor's role does nothing else.",
    )


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
    acts: Sequence[str] = (),
) -> MadeToken:
    """This will make a token of one role, or of ``acts`` of it, for which ``user`` is answerable, and tell
    that person. Without ``expires_at`` it works until it is withdrawn.

    Refuses: an unknown role, a role that the person does not hold (reading alone is open to all
    who hold one), an act that the role may not do, an expiry in the past, a label missing or in use.
    """
    ask(by, "manage_tokens")
    label = label.strip()
    reasons = _reasons_against(user, label, role, at, expires_at)
    _look_at_acts(acts, role, reasons)
    reasons.refuse()
    secret = PREFIX + secrets.token_urlsafe(32)
    token = ApiToken.objects.create(
        user=user,
        label=label,
        role=role,
        digest=digest_of(secret),
        acts=list(acts),
        created_at=at,
        made_by=by,
        expires_at=expires_at,
    )
    _tell_of(token, by, at)
    return MadeToken(token, secret)


def _tell_of(token: ApiToken, by: User, at: datetime) -> None:
    """Whoever answers for it knows of it: by a notice, unless the person made it, and in the ledger."""
    ends = token.expires_at
    until = (
        f"until {day_words(ends.astimezone(zone()).date())}" if ends else "until it is withdrawn"
    )
    words = f"“{token.label}”, {token.get_role_display()}: {token.acts_words}; {until}"
    note("token_made", [token.user], by=by, at=at, words=words)
    if by.pk != token.user.pk:
        told = (
            f"{by.shown_name} made a token in your name, by which a program acts for you: {words}."
        )
        tell(to=token.user, words=told, link="/account/", at=at)


def _look_at_acts(acts: Sequence[str], role: str, reasons: Reasons) -> None:
    for act in acts:
        if act not in ACTS:
            words = f"There is no act “{act[:40]}”. Choose from the list."
            reasons.add("unknown_act", words, "acts")
        elif role in dict(ROLES) and role not in ACTS[act]:
            words = f"The role {dict(ROLES)[role].lower()} does not {act.replace('_', ' ')}: leave it out."
            reasons.add("act_not_of_role", words, "acts")


def make_token_asked(*, by: User, token: NewToken, at: datetime) -> MadeToken:
    """This will make a token as a person asks for it: its last day ends where the operator reckons. One
    of which nothing is said ends after :data:`LASTS`.

    Refuses as :func:`make_token` does, a person that there is not, and a last day of one without.
    """
    user = User.objects.filter(pk=token.user_id, is_active=True).first()
    if user is None:
        ask(by, "manage_tokens")
        raise Refused("unknown_person", "There is no such person: look the name up again.", "user")
    if token.never_expires and token.expires_on:
        words = "Give a day, or say that it has none: not both."
        raise Refused("expiry_twice", words, "expires_on")
    ends = end_of_token(token.expires_on, never=token.never_expires, at=at)
    return make_token(
        by=by,
        user=user,
        label=token.label,
        role=token.role,
        at=at,
        expires_at=ends,
        acts=token.acts,
    )


def end_of_token(first_day_without: date | None, *, never: bool, at: datetime) -> datetime | None:
    """When a token ends that was asked for so; None: never."""
    if never:
        return None
    day = first_day_without or (at + LASTS).astimezone(zone()).date()
    return datetime.combine(day, time(), zone())


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
    """This will end a token now. Withdrawing it again changes nothing. Refuses an unknown one. Whoever
    answers for it may, as an administrator may: it is their name."""
    token = ApiToken.objects.select_for_update().filter(pk=token_id).first()
    is_own = token is not None and token.user_id == by.pk and by.acting_token is None
    ask(by, "read" if is_own else "manage_tokens")
    if token is None:
        raise Refused("unknown_token", "There is no such token. It may be from another list.")
    if token.withdrawn_at is None:
        token.withdrawn_at = at
        token.save(update_fields=["withdrawn_at"])
        note("token_withdrawn", [token.user], by=by, at=at, words=f"“{token.label}”")
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
