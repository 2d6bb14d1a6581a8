"""Hangars as they are read: what they hold, where more is wished of them, and days that fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fleet.models import Check, Station
from fleet.words.said import count_words, days_words
from scheduling.models import HangarCapacity
from scheduling.placing.columns import PRICED_DAYS
from scheduling.placing.levelling import levelled
from scheduling.placing.wishes import Levelled, Overfull, overfull

from ..facts.fleet import FleetPlan, day_of
from ..facts.hangars import Wishes, capacities, wishes_of, wishes_on


@dataclass(frozen=True, slots=True)
class HangarShown:
    """A station with what its hangar holds now (None: nothing is said yet), and from which later days on."""

    station: Station
    now: HangarCapacity | None
    later: tuple[HangarCapacity, ...]


@dataclass(frozen=True, slots=True)
class OverfullShown:
    """Days on which more is wished of a hangar than it holds."""

    station: str
    from_on: date
    to_on: date
    words: str
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class MoveShown:
    """A check that would begin on another day (``on``; None: it has no room), and the life that this throws
    away, in the operator's money."""

    check: Check
    on: date | None
    until: date | None
    days: int
    life_lost: int

    @property
    def moved(self) -> str:
        if not self.days:
            return ""
        return f"{days_words(abs(self.days))} {'later' if self.days > 0 else 'earlier'}"


@dataclass(frozen=True, slots=True)
class Fitted:
    """Days that fit: what moves, what has no room, and how good it is."""

    moves: tuple[MoveShown, ...]
    without: tuple[MoveShown, ...]
    life_lost: int
    words: str
    is_best: bool
    left: tuple[OverfullShown, ...]


def hangars_shown(day: date) -> list[HangarShown]:
    """Every station that has checks or of which something is said, by its code. Two questions."""
    said = capacities()
    found = []
    for station in Station.objects.order_by("code"):
        rows = said.get(station.pk, [])
        by_now = [row for row in rows if row.from_on <= day]
        later = tuple(row for row in rows if row.from_on > day)
        found.append(HangarShown(station, by_now[-1] if by_now else None, later))
    return found


def overfull_until(as_of: date, until: date) -> list[OverfullShown]:
    """Where more checks are planned than hangars hold, by a day. Two questions at most."""
    told = wishes_on(as_of)
    found = _overfull(told, overfull(told.wishes, told.hangars))
    return [each for each in found if each.from_on <= until]


def fitted(plan: FleetPlan, until: date, move: int, seconds: float) -> Fitted:
    """Days for all checks until a day, each moved by so many days at most. A fixed number of questions."""
    told = wishes_of(plan, until, move)
    made = levelled(told.wishes, told.hangars, seconds)
    moves: list[MoveShown] = []
    without: list[MoveShown] = []
    for check, wish, start in zip(told.checks, told.wishes, made.starts, strict=True):
        if start == wish.wished:
            continue
        on = None if start is None else day_of(start)
        lost = 0 if start is None else max(wish.wished - start, 0) * wish.price
        length = timedelta(days=wish.days - 1)
        days = 0 if start is None else start - wish.wished
        row = MoveShown(check, on, on and on + length, days, -(-lost // PRICED_DAYS))
        (without if on is None else moves).append(row)
    lost = sum(
        max(wish.wished - start, 0) * wish.price
        for wish, start in zip(told.wishes, made.starts, strict=True)
        if start is not None
    )
    left = _overfull(told, overfull(told.wishes, told.hangars, made.starts))
    return Fitted(
        tuple(moves),
        tuple(without),
        -(-lost // PRICED_DAYS),
        _how_good(made, len(without)),
        made.is_best,
        tuple(each for each in left if each.from_on <= until),
    )


def _how_good(made: Levelled, without: int) -> str:
    """How far from the best it can be, in a sentence: proven."""
    if made.is_best:
        if without:
            return "No way leaves fewer without room, and none with as many costs less: that is proven."
        return "No way costs less: that is proven."
    if made.unheld > made.fewest:
        return (
            f"At least {count_words(made.fewest)} must be without room: that is proven, and no more than that in the"
            " time there was."
        )
    most = -(-(made.cost - made.least) // PRICED_DAYS)
    return f"Another way may cost up to {count_words(most)} less: no more, that is proven."


def _overfull(told: Wishes, found: Sequence[Overfull]) -> list[OverfullShown]:
    shown = []
    for each in found:
        from_on, to_on = day_of(each.from_day), day_of(each.to_day)
        assert from_on is not None and to_on is not None
        shown.append(
            OverfullShown(
                told.stations[each.hangar].code,
                from_on,
                to_on,
                _too_many(each),
                tuple(told.checks[row] for row in sorted(each.rows)),
            )
        )
    return sorted(shown, key=lambda one: (one.from_on, one.station))


def _too_many(each: Overfull) -> str:
    said = []
    if each.checks > each.slots:
        slots = f"{count_words(each.slots)} slot{'' if each.slots == 1 else 's'}"
        said.append(f"{count_words(each.checks)} checks, {slots}")
    if each.people_there is not None and each.people > each.people_there:
        said.append(
            f"{count_words(each.people)} people needed, {count_words(each.people_there)} there"
        )
    return "; ".join(said)
