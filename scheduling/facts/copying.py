"""Whole columns out of PostgreSQL and into it, in its binary COPY format.

Every column read is an int8 that is never null (dates as days, instants as seconds, unknown as a
number agreed on), so that every row has the same length and numpy can read them in place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from django.db import connection
from psycopg import sql

Ints = npt.NDArray[np.int64]

HEADER = b"PGCOPY\n\xff\r\n\x00" + bytes(8)
TRAILER = b"\xff\xff"
#: What numpy holds for "not a time", and what SQL gives for a date that is not known.
NO_DATE = -(1 << 63)

# SQL of the columns below: the argument is an expression.
DAY = "coalesce(({0}) - DATE '1970-01-01', -9223372036854775808)::bigint"
SECOND = "coalesce(extract(epoch from {0})::bigint, -9223372036854775808)"
KEY = "coalesce({0}, -1)::bigint"
TOTAL = "coalesce({0}, -4611686018427387904)::bigint"
FLAG = "({0})::int::bigint"


def day(expression: str) -> str:
    """A date as days since 1970; NaT when seen as datetime64."""
    return DAY.format(expression)


def second(expression: str) -> str:
    """A timestamp without zone as seconds since 1970; NaT when seen as datetime64."""
    return SECOND.format(expression)


def key(expression: str) -> str:
    """A key or an index, -1 for none."""
    return KEY.format(expression)


def total(expression: str) -> str:
    """A total, the engine's UNKNOWN for none."""
    return TOTAL.format(expression)


def flag(expression: str) -> str:
    """A truth as 0 or 1."""
    return FLAG.format(expression)


def read(columns: Mapping[str, str], tail: str, params: Sequence[Any] = ()) -> dict[str, Ints]:
    """The columns (name -> SQL of an int8, never null) of ``SELECT … tail``, as arrays of one length.

    The rows come gathered in one value: a driver that hands over row by row takes longer for it than
    PostgreSQL does for reading them. Each row is an array in its binary form, all of one length.
    """
    head = ", ".join(f"{column} AS c{at}" for at, column in enumerate(columns.values()))
    row = ", ".join(f"x.c{at}" for at in range(len(columns)))
    statement = sql.SQL(
        f"COPY (SELECT string_agg(array_send(ARRAY[{row}]), ''::bytea) FROM (SELECT {head} {tail}) x)"
        " TO STDOUT (FORMAT BINARY)"
    )
    # The inner cursor: the one that logs queries (DEBUG) takes a statement without parameters only.
    with connection.cursor() as cursor, cursor.cursor.copy(statement, list(params)) as copy:
        data = b"".join(bytes(part) for part in copy)
    # One row of one field: a count of fields and a length (-1: no rows at all) come before the value.
    gathered = data[len(HEADER) + 6 : -len(TRAILER)]
    shape = np.dtype(
        [
            ("array", "V20"),
            *(
                (f"{kind}{name}", ">i4" if kind == "len " else ">i8")
                for name in columns
                for kind in ("len ", "")
            ),
        ]
    )
    rows = np.frombuffer(gathered, shape)
    return {name: rows[name].astype(np.int64) for name in columns}


def read_of(
    these: Sequence[int] | None, columns: Mapping[str, str], tail: str, params: Sequence[Any] = ()
) -> dict[str, Ints]:
    """As :func:`read`, of these (None: of all); of nobody nothing is asked."""
    if these is not None and not len(these):
        return {name: np.empty(0, np.int64) for name in columns}
    return read(columns, tail, params)


def days(column: Ints) -> npt.NDArray[np.datetime64]:
    """A column read by :func:`day`, as the engine's dates."""
    return column.view("datetime64[D]")


def seconds(column: Ints) -> npt.NDArray[np.datetime64]:
    """A column read by :func:`second`, as the engine's instants."""
    return column.view("datetime64[s]")


def first_at(sorted_keys: Ints, wanted: Ints) -> Ints:
    """Where each wanted key is among sorted ones, -1 where it is not there."""
    if not len(sorted_keys):
        return np.full(len(wanted), -1, np.int64)
    at = np.searchsorted(sorted_keys, wanted)
    at[at == len(sorted_keys)] = 0
    return np.where(sorted_keys[at] == wanted, at, -1)


def last_of_each(*keys: Ints) -> Ints:
    """Of rows already sorted by these keys: the indices of the last row of each distinct key."""
    count = len(keys[0])
    if not count:
        return np.empty(0, np.int64)
    differs = np.zeros(count, bool)
    differs[-1] = True
    for column in keys:
        differs[:-1] |= column[1:] != column[:-1]
    return np.flatnonzero(differs)
