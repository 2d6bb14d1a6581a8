"""The list out of the stored items: one page by an index, counts that stop early."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import connection
from psycopg import sql

from ..engine.bands import Band
from ..rows import MOST_COUNTED
from .items import Item
from .marks import Key
from .scope import BAND_CODES, Scope

COLUMNS = sql.SQL(", ").join(sql.Identifier("d", name) for name in Item._fields)
FROM = {
    "aircraft": " LEFT JOIN fleet_aircraft a ON a.id = d.aircraft_id",
    "part": " LEFT JOIN equipment_partnumber n ON n.id = d.part_number_id",
    "work": " JOIN scheduling_work w ON w.id = d.work_id",
}
# What a sort orders by, urgency behind it. Names in the order of their code points, as Python has it;
# an item without the name comes last.
NAME = {
    "aircraft": """coalesce(a.registration, '\U0010ffff') COLLATE "C\"""",
    "part": """coalesce(n.number, '\U0010ffff') COLLATE "C\"""",
    "work": """w.name COLLATE "C\"""",
}
DATE = "(d.sort_on - DATE '0001-01-01')"


def keys_of(sort: str) -> list[str]:
    """The expressions that a list of this sort is ordered by, the item's own key last."""
    if sort == "due":
        return ["d.sort_on", "d.id"]
    names = [NAME[sort]] if sort in NAME else []
    return [*names, "d.band", "d.sort_on", "d.id"]


def shape_of(sort: str) -> Key:
    """A key of a sort, to check marks against: texts and whole numbers (days since year 1)."""
    return (*[""] * (sort in NAME), *[0] * (2 if sort == "due" else 3))


def page(
    scope: Scope, size: int, after: Key | None = None, is_backwards: bool = False
) -> list[tuple[Item, Key]]:
    """At most ``size`` items behind the key (before it, nearest first, when backwards), with keys."""
    if scope.is_empty:
        return []
    is_down = scope.is_descending != is_backwards
    keys = keys_of(scope.sort)
    where, params = _where(scope)
    if after is not None:
        where.append(_behind(keys, is_down))
        params.extend(after)
    order = ", ".join(f"{key} DESC" if is_down else key for key in keys)
    statement = sql.SQL("SELECT {}, {} FROM scheduling_dueitem d{}{} ORDER BY {} LIMIT %s").format(
        COLUMNS,
        sql.SQL(", ".join(DATE if key == "d.sort_on" else key for key in keys)),
        sql.SQL(FROM.get(scope.sort, "")),
        _all_of(where),
        sql.SQL(order),
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, [*params, size])
        width = len(Item._fields)
        return [(Item._make(row[:width]), tuple(row[width:])) for row in cursor.fetchall()]


def everything(scope: Scope, at_once: int = 2000) -> Iterator[list[Item]]:
    """Every item of the scope in its order, a batch at a time."""
    after: Key | None = None
    while found := page(scope, at_once, after):
        yield [item for item, _ in found]
        after = found[-1][1]


def counts(scope: Scope) -> list[int]:
    """How many items in each band under all that the scope says but its band, each at most
    ``MOST_COUNTED`` + 1: every one is an index's first thousand entries, however long the list."""
    if scope.is_empty:
        return [0] * len(BAND_CODES)
    where, params = _where(scope, with_band=False)
    one = sql.SQL("(SELECT count(*) FROM (SELECT 1 FROM scheduling_dueitem d{} LIMIT {}) x)")
    of_band = one.format(_all_of([*where, "d.band = %s"]), sql.Literal(MOST_COUNTED + 1))
    statement = sql.SQL("SELECT ") + sql.SQL(", ").join([of_band] * len(BAND_CODES))
    everyone = [value for band in range(len(BAND_CODES)) for value in (*params, band)]
    with connection.cursor() as cursor:
        cursor.execute(statement, everyone)
        return list(cursor.fetchone())


def _where(scope: Scope, with_band: bool = True) -> tuple[list[str], list[Any]]:
    """Conditions and their values. One key by equality, so that its index keeps the order."""
    parts = scope.part_number_ids
    asked: list[tuple[str, Any]] = [
        ("d.station_id = %s", scope.station_id),
        ("d.aircraft_id = %s", scope.aircraft_id),
        ("d.kind_id = %s", scope.kind_id),
        ("d.work_id = %s", scope.work_id),
        ("d.unit_id = %s", scope.unit_id),
        ("d.part_number_id = %s", parts[0] if parts and len(parts) == 1 else None),
        ("d.part_number_id = ANY(%s)", list(parts) if parts and len(parts) > 1 else None),
        ("d.sort_on <= %s", scope.until_on),
        ("d.id = ANY(%s)", list(scope.ids) or None),
        ("d.band = %s", scope.band if with_band else None),
        ("d.band < %s", None if scope.with_quiet else int(Band.QUIET)),
    ]
    if scope.unit_id is not None:
        asked.append(("d.id >= %s::bigint << 22", scope.unit_id))
        asked.append(("d.id < %s::bigint << 22", scope.unit_id + 1))
    return [text for text, value in asked if value is not None], [
        value for _, value in asked if value is not None
    ]


def _behind(keys: list[str], is_down: bool) -> str:
    values = ["(DATE '0001-01-01' + %s::int)" if key == "d.sort_on" else "%s" for key in keys]
    return f"({', '.join(keys)}) {'<' if is_down else '>'} ({', '.join(values)})"


def _all_of(where: list[str]) -> sql.Composable:
    return sql.SQL(" WHERE " + " AND ".join(where) if where else "")
