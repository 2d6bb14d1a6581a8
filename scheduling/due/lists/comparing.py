"""How items are compared with what is asked: of stored items as SQL about ``d``, of reckoned ones by
their columns. Both ways stand side by side, and a test holds them together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import numpy.typing as npt

from scheduling.engine.telling.flags import Flag
from scheduling.facts.due_table import Table

Bools = npt.NDArray[np.bool_]
#: Conditions in SQL, each with the one value for it.
Conditions = list[tuple[str, Any]]


@dataclass(frozen=True, slots=True)
class Compared:
    """One comparison with a value, said twice: ``stored`` and ``reckoned`` keep the same items."""

    stored: Callable[[Any], Conditions]
    reckoned: Callable[[Table, Any], Bools]


def equal(column: str) -> Compared:
    """The column is the key."""
    return Compared(
        lambda key: [(f"d.{column} = %s", key)],
        lambda table, key: table[column] == key,
    )


def among(column: str) -> Compared:
    """The column is one of the keys. One key by equality, so that its index keeps the order."""
    return Compared(
        lambda keys: (
            [(f"d.{column} = %s", keys[0])]
            if len(keys) == 1
            else [(f"d.{column} = ANY(%s)", list(keys))]
        ),
        lambda table, keys: np.isin(table[column], keys),
    )


def up_to(column: str) -> Compared:
    """The column's day is that day or an earlier one."""
    return Compared(
        lambda day: [(f"d.{column} <= %s", day)],
        lambda table, day: table[column] <= _number(day),
    )


def below(column: str) -> Compared:
    """The column's number is smaller."""
    return Compared(
        lambda number: [(f"d.{column} < %s", int(number))],
        lambda table, number: table[column] < number,
    )


def grounding() -> Compared:
    """It grounds its aircraft: the flag is above all others, so a number as great has it."""
    least = int(Flag.GROUNDS)
    return Compared(
        lambda asked: [("d.flags >= %s", least)],
        lambda table, asked: table["flags"] >= least,
    )


def of_unit() -> Compared:
    """The unit's own items, which stand side by side by the key that is made of the unit's."""
    return Compared(
        lambda unit: [
            ("d.unit_id = %s", unit),
            ("d.id >= %s::bigint << 22", unit),
            ("d.id < %s::bigint << 22", unit + 1),
        ],
        lambda table, unit: table["unit_id"] == unit,
    )


def _number(day: date) -> np.int64:
    """A day as the columns have it."""
    return np.datetime64(day, "D").astype(np.int64)
