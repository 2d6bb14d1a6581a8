"""Small hangars at random, and the slow way: every day that every check may begin on, one check after another."""

from __future__ import annotations

import random

from scheduling.placing.columns import NONE
from scheduling.placing.wishes import Hangar, Holds, Wish


def random_hangars(seed: int) -> tuple[list[Wish], list[Hangar]]:
    told = random.Random(seed)
    hangars = [a_hangar(told) for _ in range(told.randint(1, 2))]
    wishes = [a_wish(told, len(hangars)) for _ in range(told.randint(1, 5))]
    return wishes, hangars


def a_hangar(told: random.Random) -> Hangar:
    holds = [
        Holds(day, told.randint(0, 2), told.choice((None, None, 3, 5)))
        for day in sorted(told.sample(range(30), told.randint(0, 2)))
    ]
    return Hangar(tuple(holds))


def a_wish(told: random.Random, hangars: int) -> Wish:
    wished = told.randint(5, 14)
    stays = told.random() < 0.15
    return Wish(
        aircraft=told.randint(0, 3),
        hangar=told.randrange(hangars),
        days=told.randint(1, 4),
        people=told.choice((0, 1, 2, 3)),
        wished=wished,
        earliest=wished if stays else wished - told.randint(0, 4),
        latest=wished if stays else wished + told.randint(0, 3),
        price=told.choice((0, 0, 7, 100)),
        slot=told.choice((NONE, NONE, 0, 1)),
    )


def can_stand(wishes: list[Wish], hangars: list[Hangar], starts: list[int | None]) -> bool:
    """Whether those that move have room beside all others, read off the rule's own words: day by day, by who is
    there. What stays may be too much by itself; then nothing else may come to it on that day."""
    return all(
        not _is_in_the_way(wishes, starts, at) and _has_room(wishes, hangars, starts, at)
        for at, (wish, start) in enumerate(zip(wishes, starts, strict=True))
        if start is not None and not wish.stays
    )


def _is_in_the_way(wishes: list[Wish], starts: list[int | None], at: int) -> bool:
    """Whether another check of its aircraft overlaps it, or has its slot on one of its days."""
    wish, start = wishes[at], starts[at]
    for other, (their, begun) in enumerate(zip(wishes, starts, strict=True)):
        if other == at or begun is None:
            continue
        if their.aircraft == wish.aircraft and overlap(wish, start, their, begun):
            return True
        both = set(days_of(wish, start)) & set(days_of(their, begun))
        if both and wish.slot != NONE and (wish.slot, wish.hangar) == (their.slot, their.hangar):
            return True
    return False


def _has_room(wishes: list[Wish], hangars: list[Hangar], starts: list[int | None], at: int) -> bool:
    wish = wishes[at]
    for day in days_of(wish, starts[at]):
        there = [
            one
            for one, begun in zip(wishes, starts, strict=True)
            if begun is not None and one.hangar == wish.hangar and day in days_of(one, begun)
        ]
        needed = sum(one.people for one in there)
        for each in [each for each in hangars[wish.hangar].holds if each.from_day <= day][-1:]:
            if len(there) > each.slots:
                return False
            if each.people is not None and wish.people and needed > each.people:
                return False
    return True


def days_of(wish: Wish, start: int) -> list[int]:
    return [start + day for day in range(wish.days)]


def overlap(one: Wish, start: int, other: Wish, begun: int) -> bool:
    """As two checks of an aircraft overlap: to end and begin on one day is none."""
    end, their = start + one.days - 1, begun + other.days - 1
    return start == begun or (start < their and begun < end)


def best_of_all(wishes: list[Wish], hangars: list[Hangar]) -> tuple[int, int]:
    """How many have no room in the best way, and the least that such a way costs: every way is tried."""
    best: list[tuple[int, int]] = []

    def go(at: int, starts: list[int | None], without: int, cost: int) -> None:
        if best and (without, cost) >= best[0]:
            return
        if at == len(wishes):
            best[:] = [(without, cost)]
            return
        wish = wishes[at]
        if wish.stays:
            go(at + 1, starts, without, cost)
            return
        for day in range(wish.earliest, wish.latest + 1):
            tried = [*starts]
            tried[at] = day
            if can_stand(wishes, hangars, tried):
                go(at + 1, tried, without, cost + wish.cost(day))
        go(at + 1, starts, without + 1, cost)

    stands = [wish.wished if wish.stays else None for wish in wishes]
    go(0, stands, 0, 0)
    return best[0]
