"""The list out of the stored items: one page by an index, counts that stop early."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from django.db import connection
from psycopg import sql

from scheduling.facts.items import Item

from . import by_name
from .conditions import COLUMNS, URGENCY, all_of, behind, order_of, shown_of, where_of
from .marks import Key
from .rows import MOST_COUNTED
from .scope import BAND_CODES, Scope

BY_DATE = ["d.sort_on", "d.id"]


_COUNT = sql.SQL("(SELECT count(*) FROM (SELECT 1 FROM scheduling_dueitem d{} LIMIT {}) x)")


def shape_of(sort: str) -> Key:
    """A key of a sort, to check marks against: texts and whole numbers (days since year 1)."""
    return (*[""] * (sort in by_name.NAMED), *[0] * (2 if sort == "due" else 3))


def page(
    scope: Scope, size: int, after: Key | None = None, is_backwards: bool = False
) -> list[tuple[Item, Key]]:
    """At most ``size`` items behind the key (before it, nearest first, when backwards), with keys."""
    if scope.is_empty:
        return []
    statement, params = statement_of(scope, size, after, is_backwards)
    with connection.cursor() as cursor:
        cursor.execute(statement, params)
        width = len(Item._fields)
        return [(Item._make(row[:width]), tuple(row[width:])) for row in cursor.fetchall()]


def statement_of(
    scope: Scope, size: int, after: Key | None = None, is_backwards: bool = False
) -> tuple[sql.Composable, list[Any]]:
    """What a page is read by, and the values for it."""
    is_down = scope.is_descending != is_backwards
    if scope.sort in by_name.NAMED:
        return by_name.statement_of(scope, size, after, is_down)
    keys = BY_DATE if scope.sort == "due" else URGENCY
    where, params = where_of(scope)
    if after is not None:
        where.append(behind(keys, is_down))
        params.extend(after)
    text = sql.SQL("SELECT {}, {} FROM scheduling_dueitem d{}{} LIMIT %s").format(
        COLUMNS, shown_of(keys), all_of(where), order_of(keys, is_down)
    )
    return text, [*params, size]


def everything(scope: Scope, at_once: int = 2000) -> Iterator[list[Item]]:
    """Every item of the scope in its order, a batch at a time."""
    after: Key | None = None
    while found := page(scope, at_once, after):
        yield [item for item, _ in found]
        after = found[-1][1]


def counts(scope: Scope) -> list[int]:
    """How many items in each band under all that the scope says but its band, each at most
    ``MOST_COUNTED`` + 1: every one is an index's first entries, however long the list."""
    if scope.is_empty:
        return [0] * len(BAND_CODES)
    where, params = where_of(scope, with_band=False)
    of_band = _COUNT.format(all_of([*where, "d.band = %s"]), sql.Literal(MOST_COUNTED + 1))
    statement = sql.SQL("SELECT ") + sql.SQL(", ").join([of_band] * len(BAND_CODES))
    everyone = [value for band in range(len(BAND_CODES)) for value in (*params, band)]
    with connection.cursor() as cursor:
        cursor.execute(statement, everyone)
        return list(cursor.fetchone())


def grounding(scope: Scope) -> int:
    """How many of the scope, whatever its band, ground their aircraft; at most ``MOST_COUNTED`` + 1."""
    if scope.is_empty:
        return 0
    where, params = where_of(replace(scope, grounds=True), with_band=False)
    counted = _COUNT.format(all_of(where), sql.Literal(MOST_COUNTED + 1))
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL("SELECT ") + counted, params)
        return int(cursor.fetchone()[0])
