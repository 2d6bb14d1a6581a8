"""What may not be served to others: asked by ``make run``, by the web server itself and by ``check --deploy``.

Production is meant when HTTPS=1 is set or when a name in ALLOWED_HOSTS is not this machine.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from ipaddress import ip_address
from typing import Any

from django.core.checks import CheckMessage, Error, Tags, register
from django.db import Error as DatabaseError

from demo_fixtures.people import PASSWORD, usernames
from fleet.config.private import Unusable

LEAST_SECRET = 50  # characters, as Django's own check has it
LEAST_VARIETY = 10  # different ones
TRUE = {"1", "true", "yes", "on", "y", "t"}


def is_meant(environment: Mapping[str, str] = os.environ) -> bool:
    """Whether others than the person at this machine are to be served."""
    if environment.get("HTTPS", "").strip().lower() in TRUE:
        return True
    hosts = environment.get("ALLOWED_HOSTS", "")
    return any(not _is_here(host.strip()) for host in hosts.split(",") if host.strip())


def shows_demonstration(environment: Mapping[str, str] = os.environ) -> bool:
    """Whether the invented operator is to be loaded: unless told not to, or production is meant."""
    default = "0" if is_meant(environment) else "1"
    return (environment.get("DEMO") or default) != "0"


def faults(environment: Mapping[str, str] = os.environ) -> Iterator[tuple[str, str]]:
    """What the environment says that may not be: what, and what to do.

    One account for the database is refused everywhere, all else where production is meant.
    """
    if environment.get("DATABASE_URL") and not environment.get("OWNER_DATABASE_URL"):
        yield (
            "DATABASE_URL names one account alone, which would own the tables and could change "
            "what is signed",
            "Run manage.py make_accounts ADMIN_URL, which makes both, and set OWNER_DATABASE_URL too.",
        )
    if not is_meant(environment):
        return
    if environment.get("DEBUG", "").strip().lower() in TRUE:
        yield "DEBUG is on", "Unset DEBUG: its pages show the program's insides to everybody."
    if environment.get("DEMO", "").strip() not in {"", "0"}:
        yield (
            "DEMO asks for the demonstration, whose passwords are public",
            "Unset DEMO, or set DEMO=0.",
        )
    yield from _faults_of_secrets(environment)


def _faults_of_secrets(environment: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    secret = environment.get("SECRET_KEY")
    if secret is None:  # one is made at random and kept in the data folder
        return
    is_weak = len(secret) < LEAST_SECRET or len(set(secret)) < LEAST_VARIETY
    if is_weak or secret.startswith("django-insecure"):
        yield (
            "SECRET_KEY is weak",
            f"Unset it (one is made and kept in the data folder), or give {LEAST_SECRET} random characters.",
        )


def demo_people() -> list[str]:
    """The names of active people who can be signed in with the demonstration's public password."""
    from fleet.models import User  # the apps must be ready first

    found = User.objects.filter(is_active=True, username__in=usernames()).order_by("username")
    return [person.username for person in found if person.check_password(PASSWORD)]


def fault_of_people(names: Iterable[str]) -> tuple[str, str]:
    """What is wrong with people of the demonstration here, and what to do."""
    return (
        f"people of the demonstration can sign in with its public password: {', '.join(names)}",
        "Use another database for real work, or deactivate them and give others their roles.",
    )


def refuse() -> None:
    """Raises :class:`Unusable` with every reason why this may not be served."""
    refuse_faults([*faults(), *(_people_found() if is_meant() else [])])


def refuse_faults(found: Iterable[tuple[str, str]]) -> None:
    """Raises :class:`Unusable` with each fault and its cure, if there is any."""
    if told := "\n".join(f"  - {what}. {cure}" for what, cure in found):
        raise Unusable(f"this does not start, so that nobody comes to harm by it:\n{told}")


def _people_found() -> list[tuple[str, str]]:
    try:
        names = demo_people()
    except DatabaseError:  # away, or without tables: nobody can sign in
        return []
    return [fault_of_people(names)] if names else []


@register(Tags.security, deploy=True)
def check_deployment(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    """Every fault as ``check --deploy`` says it; people too, where a database is named to look at."""
    found = list(faults())
    if kwargs.get("databases") and is_meant():
        found += _people_found()
    return [
        Error(f"{what}.", hint=cure, id=f"house.E00{n}") for n, (what, cure) in enumerate(found, 1)
    ]


def _is_here(host: str) -> bool:
    if host in {"localhost", ".localhost"}:
        return True
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False
