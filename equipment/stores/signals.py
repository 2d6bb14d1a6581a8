"""How the stores ask an upper layer, and tell it, without importing it. Receivers run inside the act."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.dispatch import Signal

#: Which limits of these units, and of all inside them, have run out? Arguments: inside (unit -> itself
#: and all in it), on. Receivers return ``{unit_id: [sentence, ...]}``.
usability_asked = Signal()
#: A certificate certifies works. Arguments: by, works (of :class:`CertifiedWork`), at. Receivers
#: record them, refuse with ``unknown_work``, and return how many limits' works they recorded.
works_certified = Signal()
#: Which limits has a unit, and what does each start from? Arguments: unit_id, on. Receivers return
#: a list of :class:`LimitStart`.
limit_starts_asked = Signal()
#: What falls due on a unit or inside it before the next time these works are due? Arguments:
#: unit_id, works, done_on. Receivers return a list of :class:`NestedWork`.
scope_asked = Signal()
#: Which works are on record? Receivers return a list of :class:`KnownWork`.
works_asked = Signal()


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

    No terms: the operator's data do not say, and whoever copies the certificate reads it there.
    """

    code: str
    name: str
    certified_by: tuple[str, ...] = ()


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


def expired_among(inside: Mapping[int, Sequence[int]], on: date) -> dict[int, list[str]]:
    """Sentences of what has run out, by unit; a unit of which nothing has is missing."""
    found: dict[int, list[str]] = {}
    answers: Any = usability_asked.send(sender="stores", inside=inside, on=on)
    for _, answer in answers:
        for unit, sentences in answer.items():
            found.setdefault(unit, []).extend(sentences)
    return found


def tell_of_works(*, by: Any, works: Sequence[CertifiedWork], at: datetime) -> int:
    """How many works were recorded; nothing is asked where there are none."""
    if not works:
        return 0
    answers: Any = works_certified.send(sender="stores", by=by, works=list(works), at=at)
    return sum(count for _, count in answers)


def limit_starts(unit_id: int, on: date) -> list[LimitStart]:
    """Which of a unit's limits start from what."""
    answers: Any = limit_starts_asked.send(sender="stores", unit_id=unit_id, on=on)
    return [each for _, found in answers for each in found]


def nested_scope(unit_id: int, works: Sequence[str], done_on: date) -> list[NestedWork]:
    """The shop's scope beyond what was asked, the earliest due first."""
    answers: Any = scope_asked.send(
        sender="stores", unit_id=unit_id, works=list(works), done_on=done_on
    )
    found: list[NestedWork] = [each for _, works_found in answers for each in works_found]
    return sorted(found, key=lambda each: (each.due_on, each.unit_id, each.limit))


def works_named(codes: Iterable[str]) -> list[str]:
    """The works' names in the order of their codes; a code that is on no record as it stands."""
    names = {each.code: each.name for each in known_works()}
    return [names.get(code, code) for code in codes]


def known_works() -> list[KnownWork]:
    """Every work that a certificate may certify, by name."""
    answers: Any = works_asked.send(sender="stores")
    return [each for _, found in answers for each in found]
