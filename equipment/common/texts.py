"""What people say in an act, looked at before it is kept: lengths, blanks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import NAMESPACE_OID, UUID, uuid5
from zlib import crc32

from django.db import connection

from fleet.house.refusals import Refusal, Refused
from fleet.house.texts import why_not_kept

ENTERING = 7_204_413


def lock_entering(what: str) -> None:
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


_MOST = 2**31 - 1


def refuse_all(problems: Sequence[Refusal]) -> None:
    """This will refuse with every reason, if there is any."""
    if problems:
        raise Refused.all_of(list(problems))


def derived_act_id(act_id: UUID, what: str) -> UUID:
    """The id of a row that an act writes beside its own: the same whenever the act is sent again."""
    return uuid5(NAMESPACE_OID, f"{act_id} {what}")


def not_before(at: datetime, *times: datetime | None) -> datetime:
    """``at``, or the latest of these: clocks of two servers differ, the order of acts does not."""
    return max([at, *(time for time in times if time is not None)])
