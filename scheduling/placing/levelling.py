"""The days of all checks at once where hangars hold fewer than is wished: first as many as can be held, then the
least life thrown away. Whole numbers, solved by HiGHS: the best there is, or with what no way could better.

Each check has a column for each day on which it may begin. No more than one of them is taken; on each day a hangar
holds no more than its slots and people, a named slot and an aircraft one check at a time. A day of which nothing
binds (there is room for all that could be there) is left out, which is most of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from math import ceil
from typing import Any

import numpy as np

from .columns import NONE
from .wishes import Hangar, Levelled, Wish

#: So far may a whole number that the solver gives be beside one.
NEAR = 1e-6


@cache
def _optimize() -> Any:
    """``scipy.optimize``, loaded when something is solved: most processes never do."""
    return import_module("scipy.optimize")


@cache
def _sparse() -> Any:
    return import_module("scipy.sparse")


def levelled(wishes: Sequence[Wish], hangars: Sequence[Hangar], seconds: float = 20.0) -> Levelled:
    """When each check begins. ``seconds`` is how long is looked for a better way: a way is always given, with what
    no way could better. Checks that stay are there in any case, though they be more than there is room for."""
    columns = _columns(wishes, hangars)
    moving = [row for row, wish in enumerate(wishes) if not wish.stays]
    first = _first_fit(wishes, hangars)
    if not len(columns.row):
        unheld = len(moving)
        return Levelled(_starts(wishes, {}), unheld, 0, unheld, 0)
    cost = np.array(
        [wishes[row].cost(day) for row, day in zip(columns.row, columns.day, strict=True)],
        np.float64,
    )
    held = _solved(np.full(len(cost), -1.0), columns, None, seconds / 2)
    most = (
        min(len({*columns.row}), -ceil(held.bound - NEAR))
        if held.bound is not None
        else len(moving)
    )
    taken = _better(wishes, first, held.taken)
    cheap = _solved(cost, columns, len(taken), seconds / 2)
    taken = _better(wishes, taken, cheap.taken)
    total = _cost(wishes, taken)
    least = 0 if cheap.bound is None else min(ceil(cheap.bound - NEAR), total)
    return Levelled(
        _starts(wishes, taken), len(moving) - len(taken), total, len(moving) - most, max(least, 0)
    )


@dataclass(frozen=True, slots=True)
class _Columns:
    """The choices: a check's row and the day on which it begins; and what binds: so much of each at most."""

    row: tuple[int, ...]
    day: tuple[int, ...]
    table: Any
    most: Any


@dataclass(frozen=True, slots=True)
class _Solved:
    """The day of each check that is held (None: no way was found in time), and what no way betters."""

    taken: dict[int, int] | None
    bound: float | None


def _solved(cost: Any, columns: _Columns, at_least: int | None, seconds: float) -> _Solved:
    """The cheapest choice; ``at_least`` so many checks are held."""
    optimize = _optimize()
    binds = [optimize.LinearConstraint(columns.table, -np.inf, columns.most)]
    if at_least is not None:
        binds.append(optimize.LinearConstraint(np.ones((1, len(cost))), at_least, np.inf))
    found = optimize.milp(
        cost,
        integrality=np.ones(len(cost)),
        bounds=optimize.Bounds(0, 1),
        constraints=binds,
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    bound = None if found.mip_dual_bound is None else float(found.mip_dual_bound)
    if found.x is None:
        return _Solved(None, bound)
    at = np.flatnonzero(found.x > 0.5)
    return _Solved({columns.row[one]: columns.day[one] for one in at.tolist()}, bound)


def _columns(wishes: Sequence[Wish], hangars: Sequence[Hangar]) -> _Columns:
    row, day = [], []
    for at, wish in enumerate(wishes):
        if not wish.stays:
            days = range(wish.earliest, wish.latest + 1)
            row += [at] * len(days)
            day += list(days)
    rows, most = _binding(wishes, hangars, list(zip(row, day, strict=True)))
    place = [(at, column) for at, bound in enumerate(rows) for column in bound]
    factor = [value for bound in rows for value in bound.values()]
    table = _sparse().csr_array(
        (factor, ([at for at, _ in place], [column for _, column in place])),
        shape=(len(rows), len(row)),
    )
    return _Columns(tuple(row), tuple(day), table, np.array(most, np.float64))


def _binding(
    wishes: Sequence[Wish], hangars: Sequence[Hangar], columns: Sequence[tuple[int, int]]
) -> tuple[list[dict[int, int]], list[int]]:
    """What binds: by column how much it takes, and how much there is beside what stays."""
    room = _Room(wishes, hangars)
    uses: dict[tuple[Any, ...], dict[int, int]] = defaultdict(dict)
    of_check: dict[int, dict[int, int]] = defaultdict(dict)
    for column, (row, day) in enumerate(columns):
        of_check[row][column] = 1
        for key, amount in uses_of(wishes[row], day):
            uses[key][column] = amount
    rows, most = list(of_check.values()), [1] * len(of_check)
    for key, taking in uses.items():
        left = room.left(key)
        if left is not None and _could_pass(taking, columns, left):
            rows.append(taking)
            most.append(left)
    return rows, most


def _could_pass(taking: dict[int, int], columns: Sequence[tuple[int, int]], left: int) -> bool:
    """Whether all checks that could be there are more than there is room for."""
    by_check = {columns[column][0]: amount for column, amount in taking.items()}
    return sum(by_check.values()) > left


def uses_of(wish: Wish, start: int) -> list[tuple[tuple[Any, ...], int]]:
    """What a check takes if it begins on a day: slots, people, its named slot, its aircraft, day by day."""
    found: list[tuple[tuple[Any, ...], int]] = []
    for day in wish.in_hangar(start):
        found.append((("slots", wish.hangar, day), 1))
        if wish.people:
            found.append((("people", wish.hangar, day), wish.people))
        if wish.slot != NONE:
            found.append((("slot", wish.hangar, wish.slot, day), 1))
    found += [(("aircraft", wish.aircraft, day), 1) for day in wish.on_ground(start)]
    return found


class _Room:
    """What is left for those that may move, beside those that stay."""

    def __init__(self, wishes: Sequence[Wish], hangars: Sequence[Hangar]) -> None:
        self._hangars = hangars
        self._taken: dict[tuple[Any, ...], int] = defaultdict(int)
        for wish in wishes:
            if wish.stays:
                self.take(wish, wish.wished)

    def take(self, wish: Wish, start: int) -> None:
        for key, amount in uses_of(wish, start):
            self._taken[key] += amount

    def left(self, key: tuple[Any, ...]) -> int | None:
        """How much; None: nothing bounds it."""
        sort, of, *_, day = key
        if sort in ("slot", "aircraft"):
            return max(1 - self._taken[key], 0)
        holds = self._hangars[of].on(day)
        most = None if holds is None else holds.slots if sort == "slots" else holds.people
        return None if most is None else max(most - self._taken[key], 0)

    def holds(self, wish: Wish, start: int) -> bool:
        return all(
            (left := self.left(key)) is None or amount <= left
            for key, amount in uses_of(wish, start)
        )


def _first_fit(wishes: Sequence[Wish], hangars: Sequence[Hangar]) -> dict[int, int]:
    """A way that is found at once: one check after another on the nearest day with room."""
    room, found = _Room(wishes, hangars), {}
    order = sorted(range(len(wishes)), key=lambda row: (wishes[row].latest, row))
    for row in order:
        wish = wishes[row]
        days = sorted(range(wish.earliest, wish.latest + 1), key=wish.cost)
        day = next((each for each in days if not wish.stays and room.holds(wish, each)), None)
        if day is not None:
            room.take(wish, day)
            found[row] = day
    return found


def _better(
    wishes: Sequence[Wish], one: dict[int, int], other: dict[int, int] | None
) -> dict[int, int]:
    """The way that holds more checks; of as many, the cheaper. The first search asks for no price, and when the
    second finds nothing in time, what it found may throw away more than the nearest days at once."""
    if other is None:
        return one
    return min(one, other, key=lambda way: (-len(way), _cost(wishes, way)))


def _cost(wishes: Sequence[Wish], taken: dict[int, int]) -> int:
    return sum(wishes[row].cost(day) for row, day in taken.items())


def _starts(wishes: Sequence[Wish], taken: dict[int, int]) -> tuple[int | None, ...]:
    return tuple(wish.wished if wish.stays else taken.get(row) for row, wish in enumerate(wishes))
