"""People and their authorisations: which act is allowed to whom, on what, on which day."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from equipment.judging.verdicts import Problem
from fleet.words.said import day_words

SIGN_STEP, INSPECT, RELEASE = "sign_step", "inspect", "release"
ACT_WORDS = {SIGN_STEP: "sign off steps", INSPECT: "inspect independently", RELEASE: "release"}


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who signs. Two records of one ``id`` are one person."""

    id: int | str
    name: str


@dataclass(frozen=True, slots=True)
class AuthorisationFact:
    """A licence or approval of one person: acts, types and kinds (empty: all), first and last day."""

    id: int | str
    number: str
    sort: str
    acts: frozenset[str]
    types: frozenset[str]
    kinds: frozenset[str]
    from_on: date
    until_on: date | None

    def covers(self, act: str, aircraft_type: str | None, kind: str | None) -> bool:
        """Whether it is for this act on this type and kind, its days aside."""
        fits_type = not self.types or aircraft_type is None or aircraft_type in self.types
        fits_kind = not self.kinds or kind is None or kind in self.kinds
        return act in self.acts and fits_type and fits_kind

    def is_good_on(self, on: date) -> bool:
        """Whether a day is within its first and last day, both included."""
        return self.from_on <= on and (self.until_on is None or on <= self.until_on)


def authorisation_for(
    act: str,
    aircraft_type: str | None,
    kind: str | None,
    authorisations: Collection[AuthorisationFact],
    on: date,
) -> AuthorisationFact | None:
    """The authorisation that allows an act that day, to be copied into the signature.

    Of several the one good longest; None if there is none.
    """
    good = [a for a in authorisations if a.covers(act, aircraft_type, kind) and a.is_good_on(on)]
    return max(good, key=lambda a: (a.until_on or date.max, a.number), default=None)


def why_not_authorised(
    act: str,
    person: Person,
    authorisations: Collection[AuthorisationFact],
    on: date,
    *,
    aircraft_type: str | None = None,
    kind: str | None = None,
) -> list[Problem]:
    """Why a person's authorisations do not allow an act that day; empty if one does."""
    if authorisation_for(act, aircraft_type, kind, authorisations, on):
        return []
    doing = ACT_WORDS.get(act, act)
    covering = [a for a in authorisations if a.covers(act, aircraft_type, kind)]
    if covering:
        return [_out_of_days(person, covering, doing, on)]
    for_act = [a for a in authorisations if act in a.acts]
    if not for_act:
        sentence = f"{person.name} has no authorisation to {doing}."
        return [Problem("not_authorised", sentence)]
    numbers = ", ".join(sorted(a.number for a in for_act))
    subject = " on ".join(word for word in (kind, aircraft_type) if word)
    sentence = f"{person.name} may {doing} under {numbers}, but not for {subject}."
    return [Problem("not_listed", sentence)]


def _out_of_days(
    person: Person, covering: list[AuthorisationFact], doing: str, on: date
) -> Problem:
    ended = [a for a in covering if a.until_on and a.until_on < on]
    if ended:
        last = max(ended, key=lambda a: a.until_on or date.max)
        sentence = (
            f"{person.name} may not {doing}: {last.number} was good until "
            f"{day_words(last.until_on)}."
        )
        return Problem("authorisation_expired", sentence)
    first = min(covering, key=lambda a: a.from_on)
    sentence = f"{person.name} may not {doing} before {day_words(first.from_on)} ({first.number})."
    return Problem("authorisation_not_yet", sentence)
