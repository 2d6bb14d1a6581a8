"""What the acts about what was found begin with: one person at a time, texts that can be kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from zlib import crc32

from django.db import connection

from fleet.house.refusals import Reasons
from fleet.house.texts import why_not_kept

OF_FINDINGS = 7_204_421


def lock_finding(what: str) -> None:
    """This will let one person at a time act on one place, walk-round or discrepancy."""
    with connection.cursor() as cursor:
        key = crc32(what.encode()) % 2**31
        cursor.execute("SELECT pg_advisory_xact_lock(%s, %s)", [OF_FINDINGS, key])


def refuse_unkept(
    row: Any, lengths: Mapping[str, int], needed: Mapping[str, str] | None = None
) -> None:
    """This will refuse every text of ``row`` that is too long, unreadable, or blank though ``needed``
    (which gives the sentence for each)."""
    reasons = Reasons()
    for name, most in lengths.items():
        blank = (needed or {}).get(name, "")
        reasons.found += why_not_kept(getattr(row, name), name, most, blank)
    reasons.refuse()
