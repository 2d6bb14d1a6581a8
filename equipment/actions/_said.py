"""What people say in an act, looked at before it is kept: lengths, blanks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from zlib import crc32

from django.db import connection

from fleet.refusals import Refusal
from fleet.texts import why_not_kept

ENTERING = 7_204_413


def hold_entering(what: str) -> None:
    """This will let one person at a time enter data of this sort, so that the same is found."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT pg_advisory_xact_lock(%s, %s)", [ENTERING, crc32(what.encode()) % 2**31]
        )


def too_long(row: Any, lengths: Mapping[str, int], needed: tuple[str, ...] = ()) -> list[Refusal]:
    """A refusal for each text of ``row`` that is longer than it may be, or blank though needed."""
    found: list[Refusal] = []
    for name, most in lengths.items():
        blank = f"Fill this in: {name.replace('_', ' ')}." if name in needed else ""
        found += why_not_kept(getattr(row, name), name, most, blank)
    return found
