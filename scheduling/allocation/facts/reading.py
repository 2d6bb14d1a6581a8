"""One question to the database, its answers as rows with names."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from django.db import connection

Row = TypeVar("Row")


def rows(make: type[Row], text: str, values: Mapping[str, Any]) -> list[Row]:
    """The answers of a question, each made into a row of this type (its columns in order)."""
    with connection.cursor() as cursor:
        cursor.execute(text, values)
        return [make(*row) for row in cursor.fetchall()]
