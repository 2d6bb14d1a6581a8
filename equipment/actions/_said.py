"""What people say in an act, looked at before it is kept: lengths, blanks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from zlib import crc32

from django.db import connection

from fleet.refusals import Refusal

ENTERING = 7_204_413


def hold_entering(what: str) -> None:
    """This will let one person at a time enter data of this sort, so that the same is found."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT pg_advisory_xact_lock(%s, %s)", [ENTERING, crc32(what.encode()) % 2**31]
        )


def too_long(row: Any, lengths: Mapping[str, int], needed: tuple[str, ...] = ()) -> list[Refusal]:
    """A refusal for each text of ``row`` that is longer than it may be, or blank though needed."""
    found = []
    for name, most in lengths.items():
        text = getattr(row, name)
        if len(text) > most:
            found.append(Refusal("too_long", f"No longer than {most} characters, please.", name))
        elif "\x00" in text:
            found.append(Refusal("unreadable", "This cannot be read. Type it again.", name))
        elif name in needed and not text.strip():
            words = f"Fill this in: {name.replace('_', ' ')}."
            found.append(Refusal("missing", words, name))
    return found
