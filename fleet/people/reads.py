"""What the pages of people read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from django.db.models import QuerySet

from fleet.house.desks import ROLES
from fleet.models import Act, ApiToken, Authorisation, PersonAct, SignedIn, User
from fleet.people.browsers import browser_words

MOST = 100
SEEN = "seen_at"


@dataclass(frozen=True, slots=True)
class PersonRow:
    """A person as the list has it."""

    id: int
    name: str
    username: str
    roles: str
    home_station: str
    state: str
    is_active: bool


@dataclass(frozen=True, slots=True)
class SessionRow:
    """A browser in which a person is signed in."""

    id: int
    browser: str
    address: str
    began_at: datetime
    seen_at: datetime
    is_here: bool


def people_rows(*, is_active: bool) -> list[PersonRow]:
    """Those who can sign in, or those who no longer can, by name."""
    rows = User.objects.filter(is_active=is_active).select_related("home_station")
    return [
        PersonRow(
            id=person.pk,
            name=person.shown_name,
            username=person.username,
            roles=roles_words(person),
            home_station=person.home_station.code if person.home_station else "",
            state=state_words(person),
            is_active=person.is_active,
        )
        for person in rows.order_by("last_name", "first_name", "username", "pk")
    ]


def roles_words(person: User) -> str:
    """The roles that a person holds, in words."""
    return ", ".join(dict(ROLES).get(role, role) for role in person.roles)


def state_words(person: User) -> str:
    """Whether a person can sign in."""
    if not person.is_active:
        return "deactivated"
    return "invited, not here yet" if person.is_waited_for else "active"


def sessions_of(person: User, now: datetime, here: str | None = None) -> list[SessionRow]:
    """Where a person is signed in, the latest seen first; ``here`` is the key of the session that asks."""
    found = SignedIn.objects.filter(user=person, session__expire_date__gt=now)
    rows = []
    for each in found.select_related("session"):
        seen = each.session.get_decoded().get(SEEN)
        rows.append(
            SessionRow(
                id=each.pk,
                browser=browser_words(each.browser),
                address=each.address,
                began_at=each.began_at,
                seen_at=datetime.fromtimestamp(seen, UTC) if seen else each.began_at,
                is_here=each.session_id == here,
            )
        )
    return sorted(rows, key=lambda row: (not row.is_here, -row.seen_at.timestamp()))


def authorisations_of(person: User) -> QuerySet[Authorisation]:
    """What a person may sign, or might, the latest first; each with its early end."""
    rows = Authorisation.objects.filter(user=person)
    return rows.select_related("ended", "recorded_by").order_by("-until_on", "-pk")


def acts_about(person: User) -> list[PersonAct]:
    """What was done about a person, the latest first."""
    rows = PersonAct.objects.filter(person=person).select_related("by", "token")
    return list(rows.order_by("-at", "-pk")[:MOST])


def tokens_of_acts(act_ids: Iterable[UUID]) -> dict[UUID, str]:
    """By which token, made by whom, each of these acts was done, in words; only of those done by one."""
    rows = Act.objects.filter(act_id__in=set(act_ids), token__isnull=False)
    found = {}
    for act in rows.select_related("token__made_by").order_by("pk"):
        assert act.token is not None
        made_by = act.token.made_by
        of = f", made by {made_by.shown_name}" if made_by else ""
        found[act.act_id] = f"by the token “{act.token.label}”{of}"
    return found


def acts_of_token(token: ApiToken) -> list[Act]:
    """What a program did by a token, under ids of its own, the latest first."""
    return list(Act.objects.filter(token=token).order_by("-done_at", "-pk")[:MOST])
