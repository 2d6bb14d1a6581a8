"""Who signs in: people with their roles, made many at a time. An invited person chooses the password."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import MISSING, dataclass, replace
from datetime import datetime
from uuid import UUID

from django.contrib.auth.hashers import make_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models.functions import Lower

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import Heading, coded, codes, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ADMINISTRATOR, ROLES, ask
from fleet.house.refusals import Reasons, Refusal, Refused
from fleet.house.texts import refuse_blank, why_not_kept
from fleet.models import Operator, PersonAct, Station, User
from fleet.people.links import refuse_founded
from fleet.people.passwords import why_not_password

from .ledger import hold_people, note

ROLES_MEAN = "; ".join(f"{code}: {words.lower()}" for code, words in ROLES)


@dataclass(frozen=True, slots=True)
class NewPerson:
    """A person to make, with a password. ``home_station`` is a station's code, or empty."""

    username: str
    first_name: str
    last_name: str
    password: str
    roles: tuple[str, ...]
    home_station: str = ""


@dataclass(frozen=True, slots=True)
class Invitation:
    """A person to invite: the name to sign in with, who it is, the roles, where at home."""

    username: str = text(
        "Username",
        150,
        needed="Give the name that the person signs in with.",
        help="The name to sign in with. It stays.",
        hint="The name to sign in with. It stays as it is, in all records.",
        heading=Heading("Username", "The name to sign in with.", ("sign-in name", "user")),
    )
    first_name: str = text("First name", 150, heading=Heading("First name", most=150))
    last_name: str = text("Last name", 150, heading=Heading("Last name", most=150))
    roles: Sequence[str] = codes(
        "Roles",
        20,
        default=MISSING,
        choices=ROLES,
        items=10,
        help=f"{ROLES_MEAN}.",
        heading=Heading("Roles", f"Some of: {', '.join(code for code, _ in ROLES)}.", ("role",)),
    )
    home_station_id: int | None = coded(
        "Home station",
        Station,
        "code",
        "station",
        default=None,
        most=8,
        help="Where the person works as a rule.",
        heading=Heading("Home station", "Its code; blank: none.", ("station", "base")),
    )


@transaction.atomic
def found_house(*, administrator: NewPerson, at: datetime, operator: str = "") -> User:
    """This will make the first person of an empty house, an administrator; nobody can ask for it.

    Refuses when anybody is there already: from then on an administrator makes people. Refuses else as
    :func:`make_people` does, and an operator's name that is too long.
    """
    hold_people()
    refuse_founded()
    if ADMINISTRATOR not in administrator.roles:
        raise Refused(
            "founder_no_administrator", "The first person must be administrator.", "roles"
        )
    reasons = Reasons(why_not_kept(operator.strip(), "operator", 80))
    reasons.found += _why_not_made([administrator]).found
    reasons.refuse()
    if operator.strip():
        Operator.objects.update_or_create(is_only=True, defaults={"name": operator.strip()})
    founder = _made([administrator])
    note("founded", founder, by=None, at=at, words=_roles_words(administrator.roles))
    return founder[0]


@transaction.atomic
def make_people(*, by: User, people: Sequence[NewPerson], at: datetime) -> list[User]:
    """This will make these people, in their order, each with a password.

    Refuses, for any of them: a name to sign in with that is missing, given twice or in use; no
    role or an unknown one; a password that Django's validators do not take; an unknown station.
    """
    ask(by, "manage_people")
    hold_people()
    _why_not_made(people).refuse()
    made = _made(people)
    for person in made:
        note("made", [person], by=by, at=at, words=_roles_words(person.roles))
    return made


@transaction.atomic
def invite_people(
    *, by: User, rows: Sequence[Invitation], at: datetime, act_id: UUID | None = None
) -> list[User]:
    """This will make these people without a password, in their order. Each one's open address is then
    told by :func:`fleet.people.links.link_of`: the person chooses the password there.

    Refuses, with the row's place before the field, whatever :func:`why_not_invited` finds.
    """
    ask(by, "manage_people")
    hold_people()
    reasons = Reasons()
    for place, found in enumerate(why_not_invited(rows)):
        reasons.found += [replace(each, field=f"{place}.{each.field}") for each in found]
    reasons.refuse()
    made = User.objects.bulk_create(
        User(
            username=row.username.strip(),
            first_name=row.first_name.strip(),
            last_name=row.last_name.strip(),
            password=make_password(None),
            roles=list(row.roles),
            home_station_id=row.home_station_id,
            link_made_at=at,
        )
        for row in rows
    )
    for person in made:
        words = _roles_words(person.roles)
        note("invited", [person], by=by, at=at, words=words, act_id=act_id)
    return made


@transaction.atomic
def invite_person(*, by: User, person: Invitation, act_id: UUID, at: datetime) -> User:
    """This will invite one person. Refuses as :func:`invite_people` does, at the fields themselves."""
    ask(by, "manage_people")
    rows = PersonAct.objects.filter(act_id=act_id, act="invited").select_related("person")
    if done := done_before(act_id, "invite_person", {"person": person}, rows, by=by, at=at):
        return done.person
    try:
        return invite_people(by=by, rows=[person], at=at, act_id=act_id)[0]
    except Refused as refused:
        found = [replace(e, field=e.field and e.field.removeprefix("0.")) for e in refused.refusals]
        raise Refused.all_of(found) from refused


@transaction.atomic
def name_operator(*, by: User, name: str, at: datetime) -> Operator:
    """This will put the operator's name over every screen. Refuses none, and one that is too long."""
    ask(by, "manage_people")
    kept = refuse_blank(name, "Give the operator's name.", "name", 80)
    return Operator.objects.update_or_create(is_only=True, defaults={"name": kept})[0]


# --- what is refused --------------------------------------------------------------------------


def why_not_invited(rows: Sequence[Invitation]) -> list[list[Refusal]]:
    """For each row why that person cannot be invited: the names, the roles, the station."""
    names = [row.username.strip() for row in rows]
    taken = _taken(names)
    stations = {row.home_station_id for row in rows if row.home_station_id is not None}
    known = set(Station.objects.filter(pk__in=stations).values_list("pk", flat=True))
    found = []
    for row, name in zip(rows, names, strict=True):
        reasons = Reasons(_why_not_named(name, names, taken))
        for field in ("first_name", "last_name"):
            reasons.found += why_not_kept(getattr(row, field), field, 150)
        if not (row.first_name.strip() or row.last_name.strip()):
            reasons.add(
                "name_missing", "Give the person's name: it stands in the records.", "last_name"
            )
        reasons.found += why_not_roles(row.roles)
        if row.home_station_id is not None and row.home_station_id not in known:
            words = "There is no such station: look it up again."
            reasons.add("unknown_station", words, "home_station")
        found.append(reasons.found)
    return found


def why_not_roles(roles: Iterable[str]) -> list[Refusal]:
    """Why these cannot be a person's roles: none at all, or one that there is not."""
    held = list(roles)
    if not held:
        words = "Give at least one role: without one the person can open nothing."
        return [Refusal("role_missing", words, "roles")]
    unknown = [role for role in held if role not in dict(ROLES)]
    words = "There is no role “{}”. Choose from the list."
    return [Refusal("unknown_role", words.format(str(role)[:40]), "roles") for role in unknown]


def _taken(names: Iterable[str]) -> set[str]:
    wanted = [name.lower() for name in names]
    rows = User.objects.annotate(low=Lower("username")).filter(low__in=wanted)
    return set(rows.values_list("low", flat=True))


def _why_not_named(name: str, names: Sequence[str], taken: set[str]) -> list[Refusal]:
    if not name:
        words = "Give the name that the person signs in with."
        return [Refusal("username_missing", words, "username")]
    if faults := why_not_kept(name, "username", 150):
        return faults
    try:
        User.username_validator(name)
    except ValidationError:
        words = f"“{name[:40]}” cannot be a username: letters, digits and @ . + - _ only."
        return [Refusal("username_unreadable", words, "username")]
    if name.lower() in taken or [each.lower() for each in names].count(name.lower()) > 1:
        return [Refusal("username_in_use", f"“{name}” is in use. Choose another name.", "username")]
    return []


def _why_not_made(people: Sequence[NewPerson]) -> Reasons:
    reasons, names = Reasons(), [person.username.strip() for person in people]
    taken = _taken(names)
    stations = set(Station.objects.values_list("code", flat=True))
    for person, name in zip(people, names, strict=True):
        reasons.found += _why_not_named(name, names, taken)
        for field in ("first_name", "last_name"):
            reasons.found += why_not_kept(getattr(person, field), field, 150)
        reasons.found += why_not_password(person.password, _unsaved(person))
        reasons.found += why_not_roles(person.roles)
        if person.home_station and person.home_station not in stations:
            reasons.add(
                "unknown_station",
                f"There is no station “{person.home_station}”. Enter it first, or leave it empty.",
                "home_station",
            )
    return reasons


def _unsaved(person: NewPerson) -> User:
    names = {"first_name": person.first_name, "last_name": person.last_name}
    return User(username=person.username.strip(), **names)


def _made(people: Sequence[NewPerson]) -> list[User]:
    codes = {person.home_station for person in people if person.home_station}
    stations = {s.code: s for s in Station.objects.filter(code__in=codes)}
    made = []
    for person in people:
        user = _unsaved(person)
        user.password, user.roles = make_password(person.password), list(person.roles)
        user.home_station = stations.get(person.home_station)
        made.append(user)
    return User.objects.bulk_create(made)


def _roles_words(roles: Iterable[str]) -> str:
    return ", ".join(dict(ROLES)[role] for role in roles)


# --- declared ---------------------------------------------------------------------------------

INVITE_PERSON = Act(
    name="invite_person",
    does=invite_person,
    said=Invitation,
    as_="person",
    who="manage_people",
    tag="People",
    summary="Invite a person",
    description="Makes a person, who chooses the password at the one-time address in the answer.",
    address="people",
    example={
        "act_id": EXAMPLE_ID,
        "username": "d.follows",
        "first_name": "Dagny",
        "last_name": "Follows",
        "roles": ["technician"],
        "home_station": None,
    },
)
