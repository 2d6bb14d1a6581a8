"""What becomes of a person: other roles, another home; deactivated, active again; nothing signed is lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import coded, codes, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ADMINISTRATOR, ROLES, ask
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank, why_not_kept
from fleet.models import PersonAct, Station, User

from .ledger import note, person_held, refuse_last_administrator
from .of_person import OfPerson
from .people import ROLES_MEAN, why_not_roles
from .sessions import end_all_sessions


@dataclass(frozen=True, slots=True)
class PersonChange:
    """Who a person is now: the names, all roles, the home station."""

    person_id: int = number("The person", least=1, name="person")
    first_name: str = text("First name", 150)
    last_name: str = text("Last name", 150)
    roles: Sequence[str] = codes(
        "Roles",
        20,
        default=MISSING,
        choices=ROLES,
        items=10,
        help=f"All that the person holds from now on. {ROLES_MEAN}.",
    )
    home_station_id: int | None = coded(
        "Home station", Station, "code", "station", default=None, most=8
    )


@dataclass(frozen=True, slots=True)
class Deactivation:
    """A person who no longer signs in, and why."""

    person_id: int = number("The person", least=1, name="person")
    reason: str = text("Why", 200, needed="Say why, such as “left the house”.")


@transaction.atomic
def change_person(*, by: User, change: PersonChange, act_id: UUID, at: datetime) -> User:
    """This will make a person's names, roles and home station these. Roles count from the next request on.

    Refuses an unknown person or station, no role or an unknown one, and to take the last
    administrator's role.
    """
    ask(by, "manage_people")
    rows = PersonAct.objects.filter(act_id=act_id, act="changed").select_related("person")
    if done := done_before(act_id, "change_person", {"change": change}, rows, by=by, at=at):
        return done.person
    person = person_held(change.person_id)
    _refuse_change(person, change)
    before = _told(person)
    person.first_name, person.last_name = change.first_name.strip(), change.last_name.strip()
    person.roles = list(change.roles)
    person.home_station = Station.objects.filter(pk=change.home_station_id or 0).first()
    person.save(update_fields=["first_name", "last_name", "roles", "home_station"])
    after = _told(person)
    words = "; ".join(
        f"{name}: {before[name] or 'none'} → {after[name] or 'none'}"
        for name in after
        if before[name] != after[name]
    )
    note("changed", [person], by=by, at=at, words=words or "nothing differed", act_id=act_id)
    return person


def _refuse_change(person: User, change: PersonChange) -> None:
    reasons = Reasons(why_not_roles(change.roles))
    for field in ("first_name", "last_name"):
        blank = "Give the name: it stands in the records."
        reasons.found += why_not_kept(getattr(change, field), field, 150, blank)
    station = change.home_station_id
    if station is not None and not Station.objects.filter(pk=station).exists():
        words = "There is no such station: look it up again."
        reasons.add("unknown_station", words, "home_station")
    reasons.refuse()
    if ADMINISTRATOR not in change.roles:
        refuse_last_administrator(person, "roles")


def _told(person: User) -> dict[str, str]:
    return {
        "name": person.get_full_name(),
        "roles": ", ".join(dict(ROLES).get(role, role) for role in person.roles),
        "home station": person.home_station.code if person.home_station else "",
    }


@transaction.atomic
def deactivate_person(*, by: User, person_id: int, reason: str, act_id: UUID, at: datetime) -> User:
    """This will keep a person from signing in: every session and token ends, an open address is closed.
    What the person recorded and signed stays.

    Refuses an unknown person, one who is deactivated, no reason, and the last administrator.
    """
    ask(by, "manage_people")
    rows = PersonAct.objects.filter(act_id=act_id, act="deactivated").select_related("person")
    told = {"person_id": person_id, "reason": reason}
    if done := done_before(act_id, "deactivate_person", told, rows, by=by, at=at):
        return done.person
    person = person_held(person_id)
    if not person.is_active:
        words = f"{person.shown_name} is deactivated already."
        raise Refused("person_deactivated", words, "person")
    why = refuse_blank(reason, "Say why, such as “left the house”.", "reason", 200)
    refuse_last_administrator(person)
    person.is_active, person.link_made_at = False, None
    person.save(update_fields=["is_active", "link_made_at"])
    person.api_tokens.filter(withdrawn_at=None).update(withdrawn_at=at)
    end_all_sessions(person)
    note("deactivated", [person], by=by, at=at, words=why, act_id=act_id)
    return person


@transaction.atomic
def reactivate_person(*, by: User, person_id: int, act_id: UUID, at: datetime) -> User:
    """This will let a person sign in again, with the password and the roles of before; tokens stay ended.

    Refuses an unknown person, and one who is active.
    """
    ask(by, "manage_people")
    rows = PersonAct.objects.filter(act_id=act_id, act="reactivated").select_related("person")
    told = {"person_id": person_id}
    if done := done_before(act_id, "reactivate_person", told, rows, by=by, at=at):
        return done.person
    person = person_held(person_id)
    if person.is_active:
        raise Refused("person_active", f"{person.shown_name} can sign in already.", "person")
    person.is_active = True
    person.save(update_fields=["is_active"])
    note("reactivated", [person], by=by, at=at, act_id=act_id)
    return person


# --- declared ---------------------------------------------------------------------------------

CHANGE_PERSON = Act(
    name="change_person",
    does=change_person,
    said=PersonChange,
    as_="change",
    who="manage_people",
    tag="People",
    summary="Change a person",
    description="Makes the names, all roles and the home station of a person these.",
    address="people/<int:person_id>/change",
    in_address=("person_id",),
    example={
        "act_id": EXAMPLE_ID,
        "first_name": "Dagny",
        "last_name": "Follows",
        "roles": ["technician", "inspector"],
        "home_station": None,
    },
)
DEACTIVATE_PERSON = Act(
    name="deactivate_person",
    does=deactivate_person,
    said=Deactivation,
    who="manage_people",
    tag="People",
    summary="Deactivate a person",
    description="Keeps a person from signing in; sessions and tokens end. What was signed stays. The answer "
    "names the jobs that wait for somebody else.",
    address="people/<int:person_id>/deactivate",
    in_address=("person_id",),
    example={"act_id": EXAMPLE_ID, "reason": "Left the house."},
)
REACTIVATE_PERSON = Act(
    name="reactivate_person",
    does=reactivate_person,
    said=OfPerson,
    who="manage_people",
    tag="People",
    summary="Make a person active again",
    description="Lets a deactivated person sign in again, with the password and roles of before.",
    address="people/<int:person_id>/reactivate",
    in_address=("person_id",),
    example={"act_id": EXAMPLE_ID},
)
