"""PostgreSQL's own way to write an array: much less work than to have each value looked at by the driver."""

from __future__ import annotations

from collections.abc import Iterable


def array_of(values: Iterable[object]) -> str:
    """``{1,NULL,"a b"}``: whole numbers, keys, times and texts, to be cast by the statement."""
    return "{" + ",".join([_written(value) for value in values]) + "}"


def _written(value: object) -> str:
    if value is None:
        return "NULL"
    if isinstance(value, str):
        quoted = value.replace("\\", "\\\\").replace('"', '\\"')
        return f'"{quoted}"'
    return str(value)
