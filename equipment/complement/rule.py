"""How much of a kind an aircraft must carry: by passenger seats, by occupants, by what its rafts hold. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fleet.words.said import count_words

SEATS, OCCUPANTS, RAFTS = "seats", "occupants", "rafts"


@dataclass(frozen=True, slots=True)
class CabinFacts:
    """Passenger seats, the most people on board, and whether it flies extended overwater."""

    seats: int
    occupants: int
    is_overwater: bool


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One line of a rule. ``by`` seats: from ``seats_from`` passenger seats at least ``number`` of the
    kind. ``by`` occupants: ``number`` for each person. ``by`` rafts: what they carry, the largest lost,
    holds everybody. ``only_overwater``: only of an aircraft that flies there."""

    kind: str
    by: str
    document: str
    seats_from: int = 0
    number: int = 1
    only_overwater: bool = False


@dataclass(frozen=True, slots=True)
class Carried:
    """One unit, or lot, of a kind on board: how many it is, how many persons each carries if known."""

    quantity: int
    carries: int | None = None


@dataclass(frozen=True, slots=True)
class Requirement:
    """What is asked of one kind by one document, what is on board, and what is short (empty: met)."""

    kind: str
    document: str
    wanted: str
    there: str
    short: str = ""

    @property
    def is_met(self) -> bool:
        return not self.short


def requirements(
    cabin: CabinFacts, lines: Sequence[RuleLine], carried: Mapping[str, Sequence[Carried]]
) -> list[Requirement]:
    """Each document's requirement of each kind that applies to this cabin, in the order of the lines.

    Of lines by seats the one with the most seats that the cabin has decides; below the first nothing
    is asked.
    """
    asked: dict[tuple[str, str, str], list[RuleLine]] = {}
    for line in lines:
        if cabin.is_overwater or not line.only_overwater:
            asked.setdefault((line.document, line.kind, line.by), []).append(line)
    found = [
        _ASKS[by](cabin, of_kind, carried.get(kind, ())) for (_, kind, by), of_kind in asked.items()
    ]
    return [each for each in found if each is not None]


def number_for(seats: int, lines: Sequence[RuleLine]) -> int:
    """How many of a kind a cabin of so many passenger seats must have."""
    reached = [line for line in lines if line.seats_from <= seats]
    return max(reached, key=lambda line: line.seats_from).number if reached else 0


def _by_seats(
    cabin: CabinFacts, lines: Sequence[RuleLine], there: Sequence[Carried]
) -> Requirement | None:
    number = number_for(cabin.seats, lines)
    why = f"{count_words(number)} for {count_words(cabin.seats)} passenger seats"
    return _counted(lines[0], number, why, there) if number else None


def _by_occupants(
    cabin: CabinFacts, lines: Sequence[RuleLine], there: Sequence[Carried]
) -> Requirement | None:
    number = cabin.occupants * max(line.number for line in lines)
    why = f"{count_words(number)} for {count_words(cabin.occupants)} occupants"
    return _counted(lines[0], number, why, there)


def _counted(line: RuleLine, number: int, why: str, there: Sequence[Carried]) -> Requirement:
    count = sum(each.quantity for each in there)
    short = f"{count_words(number - count)} short" if count < number else ""
    return Requirement(line.kind, line.document, why, f"{count_words(count)} on board", short)


def _by_rafts(
    cabin: CabinFacts, lines: Sequence[RuleLine], there: Sequence[Carried]
) -> Requirement | None:
    """14 CFR 121.339(a)(2): all occupants in the event of a loss of one raft of the largest capacity."""
    line, people = lines[0], cabin.occupants
    wanted = f"room for {count_words(people)} occupants with the largest lost"
    each = [one.carries for one in there for _ in range(one.quantity)]
    known = [capacity for capacity in each if capacity is not None]
    room = sum(known) - max(known, default=0)
    said = f"{count_words(len(each))} on board, room for {count_words(room)} without the largest"
    short = f"room for {count_words(people - room)} missing" if room < people else ""
    if short and len(known) < len(each):
        short = f"{short}; how many persons {count_words(len(each) - len(known))} carry is not on record"
    return Requirement(line.kind, line.document, wanted, said, short)


_ASKS = {SEATS: _by_seats, OCCUPANTS: _by_occupants, RAFTS: _by_rafts}
