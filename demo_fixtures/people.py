"""The invented people of the demonstration."""

from __future__ import annotations

import csv
from pathlib import Path

#: Only ever the password of the invented people of a demonstration; everybody knows it.
PASSWORD = "greenband-demo"  # noqa: S105
_PEOPLE = Path(__file__).parent / "people.csv"


def rows() -> list[dict[str, str]]:
    """Each person's username, names, roles and home station."""
    with _PEOPLE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def usernames() -> list[str]:
    """By which names they sign in."""
    return [row["username"] for row in rows()]
