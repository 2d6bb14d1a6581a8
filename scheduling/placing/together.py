"""Works behind one access brought together: exactly the cheapest of all ways to place them.

Each job stands at a check at which its work is possible and which is not behind its own last one. What a
way costs is the life thrown away, and an opening for each check at which the access is opened. From the
first check to the last, the only thing that later choices ask of earlier ones is which check, of those at
which each sort of work is possible, was opened last: a job goes to the last open one. So a table over that,
check by check, finds the cheapest of all. Of ways that cost the same the one that throws away less life.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from .columns import PRICED_DAYS


@dataclass(frozen=True, slots=True)
class Job:
    """A work of the group: which sort it is of (a row of ``can``), at which check it would stand alone (a
    place in the checks), the price of a hundred days of its life."""

    sort: int
    last: int
    price: int


@dataclass(frozen=True, slots=True)
class Spots:
    """The checks of one aircraft in order: their first days; which sorts of work are possible (``can[sort]``
    by check); at which the access is opened in any case."""

    starts_on: Sequence[int]
    can: Sequence[Sequence[bool]]
    opened: frozenset[int] = frozenset()


_Open = tuple[int, ...]  # of each sort the last check opened, -1: none yet
_Way = tuple[
    int, int, tuple[int, ...]
]  # what it costs, the life in it, checks opened, latest first


def cheapest(jobs: Sequence[Job], spots: Spots, opening: int) -> list[int]:
    """The check of each job, in their order, so that life and openings cost least. ``opening`` is the
    price of one, life is counted in hundredths of its price."""
    checks = _worth_opening(jobs, spots)
    ending: dict[int, list[Job]] = defaultdict(list)
    for job in jobs:
        ending[job.last].append(job)
    ways: dict[_Open, _Way] = {(-1,) * len(spots.can): (0, 0, ())}
    for check in sorted(checks | set(ending)):
        price = 0 if check in spots.opened else opening * PRICED_DAYS
        found: dict[_Open, _Way] = {}
        for state, (cost, life, opened) in ways.items():
            if check not in spots.opened:
                _settle(found, state, (cost, life, opened), ending[check], spots)
            if check in checks:
                now = tuple(
                    check if able[check] else last
                    for able, last in zip(spots.can, state, strict=True)
                )
                way = (cost + price, life, (check, *opened))
                _settle(found, now, way, ending[check], spots)
        ways = found
    opened = min(ways.values(), key=lambda way: (way[0], way[1], [-one for one in way[2]]))[2]
    return [next(c for c in opened if c <= job.last and spots.can[job.sort][c]) for job in jobs]


def cost_of(jobs: Sequence[Job], places: Sequence[int], spots: Spots, opening: int) -> int:
    """What this way costs beside each job's own last check, in hundredths."""
    opened = set(places) - spots.opened
    life = sum(
        job.price * (spots.starts_on[job.last] - spots.starts_on[place])
        for job, place in zip(jobs, places, strict=True)
    )
    return life + opening * PRICED_DAYS * len(opened)


def _settle(
    found: dict[_Open, _Way], state: _Open, way: _Way, ending: Sequence[Job], spots: Spots
) -> None:
    """Keeps a way if it is the cheapest to this state, with the jobs that can wait no longer at the last
    open check of their sort. A job that has none makes it no way."""
    more = 0
    for job in ending:
        place = state[job.sort]
        if place < 0:
            return
        more += job.price * (spots.starts_on[job.last] - spots.starts_on[place])
    new = (way[0] + more, way[1] + more, way[2])
    if state not in found or new[:2] < found[state][:2]:
        found[state] = new


def _worth_opening(jobs: Sequence[Job], spots: Spots) -> set[int]:
    """The checks that some cheapest way opens. One that could be replaced by the next at which the same is
    possible, for all that stands at it, is not needed: so of each sort of check the last not behind
    each job's own is enough."""
    if len(spots.can) == 1:
        return {*spots.opened, *(job.last for job in jobs)}
    alike: dict[tuple[bool, ...], list[int]] = defaultdict(list)
    for check in range(len(spots.starts_on)):
        alike[tuple([able[check] for able in spots.can])].append(check)
    found = set(spots.opened)
    for sort, last in {(job.sort, job.last) for job in jobs}:
        for possible, checks in alike.items():
            if possible[sort] and (before := [check for check in checks if check <= last]):
                found.add(before[-1])
    return found
