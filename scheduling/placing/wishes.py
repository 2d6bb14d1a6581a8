"""Checks that want a hangar, and what hangars hold: days since 1970, one row for each check."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .columns import NONE


@dataclass(frozen=True, slots=True)
class Wish:
    """A check as it is wished: on which aircraft, in which hangar (a place in the hangars), on how many days,
    with how many people on each; the day wished, and from which to which it may begin. ``price`` is what a day
    earlier costs in life thrown away, in hundredths; ``slot`` the one that it must have, NONE: any. It stays
    where it is where the two days are the wished one."""

    aircraft: int
    hangar: int
    days: int
    people: int
    wished: int
    earliest: int
    latest: int
    price: int = 0
    slot: int = NONE

    @property
    def stays(self) -> bool:
        return self.earliest == self.latest == self.wished

    def in_hangar(self, start: int) -> range:
        """The days on which it has its slot and its people, were it begun then: its last one too."""
        return range(start, start + self.days)

    def on_ground(self, start: int) -> range:
        """The days on which its aircraft can begin nothing else: to end and begin on one day is no overlap."""
        return range(start, start + max(self.days - 1, 1))

    def cost(self, start: int) -> int:
        """What it costs to begin it then, in hundredths: life thrown away, and one for each day that it moves, so
        that of equal ways the one that moves least is taken."""
        return max(self.wished - start, 0) * self.price + abs(start - self.wished)


@dataclass(frozen=True, slots=True)
class Holds:
    """From a day on a hangar holds so many aircraft at a time, and has so many people (None: nobody has said)."""

    from_day: int
    slots: int
    people: int | None = None


@dataclass(frozen=True, slots=True)
class Hangar:
    """What one hangar holds, by day. Before the first of which something is said it holds any number."""

    holds: tuple[Holds, ...]

    def on(self, day: int) -> Holds | None:
        """What it holds on a day; None where nothing is said of it."""
        found = [each for each in self.holds if each.from_day <= day]
        return found[-1] if found else None


@dataclass(frozen=True, slots=True)
class Levelled:
    """The day on which each check begins (None: it has no room), how many have none, and what the moves cost, in
    hundredths. ``fewest`` and ``least``: no way leaves fewer without room, nor costs less with as many. It is
    the best there is where they are the same."""

    starts: tuple[int | None, ...]
    unheld: int
    cost: int
    fewest: int
    least: int

    @property
    def is_best(self) -> bool:
        return self.unheld == self.fewest and self.cost <= self.least


@dataclass(frozen=True, slots=True)
class Overfull:
    """Days in a row on which more is wished of a hangar than it holds: at most so many checks where there are so
    many slots, at most so many people where so many are there."""

    hangar: int
    from_day: int
    to_day: int
    checks: int
    slots: int
    people: int
    people_there: int | None
    rows: frozenset[int]


def overfull(
    wishes: Sequence[Wish], hangars: Sequence[Hangar], starts: Sequence[int | None] | None = None
) -> list[Overfull]:
    """Where checks begun on these days (None: as they are wished) are more than the hangars hold."""
    begun = [each.wished for each in wishes] if starts is None else starts
    there: dict[tuple[int, int], list[int]] = defaultdict(list)
    for row, (wish, start) in enumerate(zip(wishes, begun, strict=True)):
        for day in wish.in_hangar(start) if start is not None else ():
            there[wish.hangar, day].append(row)
    found = [
        span
        for at, rows in sorted(there.items())
        if (span := _too_many(wishes, hangars, at, rows)) is not None
    ]
    return list(_in_a_row(found))


def _too_many(
    wishes: Sequence[Wish], hangars: Sequence[Hangar], at: tuple[int, int], rows: Sequence[int]
) -> Overfull | None:
    hangar, day = at
    holds = hangars[hangar].on(day)
    people = sum(wishes[row].people for row in rows)
    if holds is None or (
        len(rows) <= holds.slots and (holds.people is None or people <= holds.people)
    ):
        return None
    return Overfull(hangar, day, day, len(rows), holds.slots, people, holds.people, frozenset(rows))


def _in_a_row(days: Sequence[Overfull]) -> Iterator[Overfull]:
    """Days of one hangar that follow each other, as one, with the most of any."""
    span: Overfull | None = None
    for each in days:
        if span is None or (span.hangar, span.to_day + 1) != (each.hangar, each.from_day):
            if span is not None:
                yield span
            span = each
            continue
        worst = each if each.checks - each.slots > span.checks - span.slots else span
        span = Overfull(
            span.hangar,
            span.from_day,
            each.to_day,
            worst.checks,
            worst.slots,
            max(span.people, each.people),
            each.people_there,
            span.rows | each.rows,
        )
    if span is not None:
        yield span
