"""What the stores ask of the upper app that knows limits, works and the allocation. Answered inside the act."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fleet.house.ports import Port
from fleet.models import User


@dataclass(frozen=True, slots=True)
class CertifiedWork:
    """A work on a unit that a certificate certifies. Totals are the unit's own, minutes and counts."""

    unit_id: int
    code: str
    done_on: date
    act_id: UUID
    released_on: date
    precision: str = "day"
    method: str = ""
    total_minutes: int | None = None
    total_cycles: int | None = None
    who: str = ""
    document: str = ""
    certificate: str = ""


@dataclass(frozen=True, slots=True)
class KnownWork:
    """A work that a certificate may certify, and by which terms of its status block.

    No terms: the operator's data do not say, and whoever copies the certificate reads it there. ``methods`` are those by
    which its next date is chosen: without one of a test there is none.
    """

    code: str
    name: str
    certified_by: tuple[str, ...] = ()
    methods: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LimitStart:
    """One limit of a unit: its work, and in words what it starts from and when it falls due."""

    limit: str
    title: str
    work: str
    starts: str
    due: str


@dataclass(frozen=True, slots=True)
class NestedWork:
    """A work that falls due before the next overhaul: do it while the unit is in the shop."""

    unit_id: int
    words: str
    limit: str
    work: str
    due_on: date
    before_on: date | None


@dataclass(frozen=True, slots=True)
class ToSetAside:
    """A need with the unit proposed for it."""

    need: str
    need_on: date
    unit_id: int | None
    unit: str
    station: str
    act: str
    link: str


#: An act: records every one of the works by that person at that instant, or refuses
#: (``unknown_work``); what is on record already stays once.
record_certified_works: Port[[User, Sequence[CertifiedWork], datetime], None] = Port(
    "who records the works that a certificate certifies"
)
#: Asked with a unit and a day.
limit_starts: Port[[int, date], list[LimitStart]] = Port("what each limit of a unit starts from")
#: Asked with a unit, the codes of the works asked for and the day on which they are done; the
#: earliest due first.
nested_scope: Port[[int, Sequence[str], date], list[NestedWork]] = Port(
    "what falls due on a unit, or inside it, before these works are due again"
)
#: Each with the terms that certify it, by name.
known_works: Port[[], list[KnownWork]] = Port("which works a certificate may certify")
#: Asked with the code of a station (empty: everywhere) and today; the soonest need first.
proposed_to_set_aside: Port[[str, date], list[ToSetAside]] = Port(
    "which needs have a unit proposed that is not yet set aside"
)


def works_named(codes: Iterable[str]) -> list[str]:
    """The works' names in the order of their codes; a code that is on no record as it stands."""
    names = {each.code: each.name for each in known_works()}
    return [names.get(code, code) for code in codes]
