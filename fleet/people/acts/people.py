"""Who signs in: people with their roles, made many at a time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.contrib.auth.hashers import make_password
from django.db import connection, transaction

from fleet.house.desks import ADMINISTRATOR, ROLES, ask
from fleet.house.refusals import Reasons, Refused
from fleet.models import Station, User

_ONE_FOUNDER = 7301544026


@dataclass(frozen=True, slots=True)
class NewPerson:
    """A person to make. ``home_station`` is a station's code, or empty."""

    username: str
    first_name: str
    last_name: str
    password: str
    roles: tuple[str, ...]
    home_station: str = ""


@transaction.atomic
def found_house(*, administrator: NewPerson) -> User:
    """This will make the first person of an empty house, an administrator; nobody can ask for it.

    Refuses when anybody can sign in already: from then on an administrator makes people.
    """
    with connection.cursor() as cursor:
        # Two who found the same empty house at once: one waits, and is then refused.
        cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_ONE_FOUNDER])
    if User.objects.exists():
        raise Refused(
            "house_is_founded",
            "Somebody can sign in here already. Ask an administrator to make further people.",
        )
    if ADMINISTRATOR not in administrator.roles:
        raise Refused(
            "founder_no_administrator", "The first person must be administrator.", "roles"
        )
    return _made([administrator])[0]


@transaction.atomic
def make_people(*, by: User, people: Sequence[NewPerson]) -> list[User]:
    """This will make these people, in their order.

    Refuses, for any of them: a name to sign in with that is missing, given twice or in use; no
    role or an unknown one; no password; an unknown station.
    """
    ask(by, "manage_people")
    return _made(people)


def _made(people: Sequence[NewPerson]) -> list[User]:
    stations = {s.code: s for s in Station.objects.filter(code__in=_stations_of(people))}
    _reasons_against(people, set(stations)).refuse()
    return User.objects.bulk_create(
        [
            User(
                username=person.username.strip(),
                first_name=person.first_name,
                last_name=person.last_name,
                password=make_password(person.password),
                roles=list(person.roles),
                home_station=stations.get(person.home_station),
            )
            for person in people
        ]
    )


def _stations_of(people: Iterable[NewPerson]) -> set[str]:
    return {person.home_station for person in people if person.home_station}


def _reasons_against(people: Sequence[NewPerson], stations: set[str]) -> Reasons:
    reasons = Reasons()
    names = [person.username.strip() for person in people]
    taken = set(User.objects.filter(username__in=names).values_list("username", flat=True))
    for name in sorted({name for name in names if names.count(name) > 1} | taken):
        reasons.add("username_in_use", f"“{name}” is in use. Choose another name.", "username")
    for person in people:
        _check_one(person, stations, reasons)
    return reasons


def _check_one(person: NewPerson, stations: set[str], reasons: Reasons) -> None:
    name = person.username.strip()
    if not name:
        reasons.add("username_missing", "Give the name the person signs in with.", "username")
    if not person.password:
        reasons.add("password_missing", f"Give {name or 'the person'} a password.", "password")
    if not person.roles:
        reasons.add("role_missing", f"Give {name or 'the person'} at least one role.", "roles")
    for role in set(person.roles) - set(dict(ROLES)):
        reasons.add("unknown_role", f"There is no role “{role}”. Choose one of the list.", "roles")
    if person.home_station and person.home_station not in stations:
        reasons.add(
            "unknown_station",
            f"There is no station “{person.home_station}”. Enter it first, or leave it empty.",
            "home_station",
        )
