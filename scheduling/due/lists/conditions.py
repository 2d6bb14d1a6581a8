"""What stored items are narrowed and ordered by, as SQL about ``d``."""

from __future__ import annotations

from typing import Any

from psycopg import sql

from scheduling.facts.items import Item

from .scope import Scope

COLUMNS = sql.SQL(", ").join(sql.Identifier("d", name) for name in Item._fields)
URGENCY = ["d.band", "d.sort_on", "d.id"]
DATE = "(d.sort_on - DATE '0001-01-01')"


def where_of(scope: Scope, with_band: bool = True) -> tuple[list[str], list[Any]]:
    """Conditions and their values."""
    asked = scope.conditions(with_band=with_band)
    return [text for text, _ in asked], [value for _, value in asked]


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
