"""Whether a person may take what a spreadsheet holds: said before the first step, not after the last."""

from __future__ import annotations

from typing import NamedTuple

from fleet.house.desks import ACTS, ROLES, may
from fleet.intake.registry import kind_named
from fleet.models import User

#: The kinds of sheet that lines of an own spreadsheet become.
MADE_OF_IT = (
    "Aircraft",
    "Limits",
    "Units",
    "Readings",
    "Works done",
    "Movements",
    "Cylinder markings",
)


class Lacking(NamedTuple):
    """What a person may not take, and the roles that may take everything; ``can_mend`` that the person gives roles."""

    kinds: list[str]
    roles: list[str]
    can_mend: bool


def roles_lacking(person: User) -> Lacking | None:
    """What of an own spreadsheet a person's roles would refuse line by line; None where nothing."""
    acts = {name: kind.act for name in MADE_OF_IT if (kind := kind_named(name)) is not None}
    kinds = [name.lower() for name, act in acts.items() if not may(person, act)]
    if not kinds or not may(person, "load_sheets"):
        return None
    roles = [words for role, words in ROLES if all(role in ACTS[act] for act in acts.values())]
    return Lacking(kinds, roles, may(person, "manage_people"))
