"""How much was overdue, day by day as far as it was counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from scheduling.models import DayCounted

DAYS = 366


@dataclass(frozen=True, slots=True)
class Trend:
    """The counts of a year, the oldest first: one a month, and each of the last thirty days that was counted."""

    rows: Sequence[DayCounted]
    is_some_later: bool


def overdue_trend(today: date) -> Trend:
    """One question. Of a month before the last thirty days its first count is shown."""
    found: dict[tuple[int, int, int], DayCounted] = {}
    since = today - timedelta(days=DAYS)
    for row in DayCounted.objects.filter(day__gt=since, day__lte=today).order_by("day"):
        is_near = row.day > today - timedelta(days=30)
        found.setdefault((row.day.year, row.day.month, row.day.day if is_near else 0), row)
    rows = list(found.values())
    return Trend(rows, any(row.is_later for row in rows))
