"""What stored items are narrowed and ordered by, as SQL about ``d``."""

from __future__ import annotations

from typing import Any

from psycopg import sql

from scheduling.engine.basis.bands import Band
from scheduling.facts.items import Item

from .scope import Scope

COLUMNS = sql.SQL(", ").join(sql.Identifier("d", name) for name in Item._fields)
URGENCY = ["d.band", "d.sort_on", "d.id"]
DATE = "(d.sort_on - DATE '0001-01-01')"


def where_of(scope: Scope, with_band: bool = True) -> tuple[list[str], list[Any]]:
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


def behind(keys: list[str], is_down: bool) -> str:
    """That a row comes after a key, whose values are given: a date's as days since year 1."""
    values = ["(DATE '0001-01-01' + %s::int)" if key == "d.sort_on" else "%s" for key in keys]
    return f"({', '.join(keys)}) {'<' if is_down else '>'} ({', '.join(values)})"


def all_of(where: list[str]) -> sql.Composable:
    return sql.SQL(" WHERE " + " AND ".join(where) if where else "")


def order_of(keys: list[str], is_down: bool) -> sql.Composable:
    order = ", ".join(f"{key} DESC" if is_down else key for key in keys)
    return sql.SQL(f" ORDER BY {order}")


def shown_of(keys: list[str]) -> sql.Composable:
    """The keys as marks hold them."""
    return sql.SQL(", ".join(DATE if key == "d.sort_on" else key for key in keys))
