"""Totals and instants as sheets give them: in minutes or a count, in UTC."""

from __future__ import annotations

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.problems import CellProblem
from fleet.intake.stamps import Stamp
from fleet.models import Measure


def total_in_measure(cell: Any, unit: str) -> int | CellProblem | None:
    """A total as its measure is counted: minutes out of hours, else a whole number."""
    return minutes_of(cell) if unit == Measure.MINUTES else count_of(cell)


def in_utc(stamp: Stamp, zone: str, *, end: bool = False) -> dt.datetime:
    """The instant of a stamp in ``zone``: of a day alone its first, or its last with ``end``."""
    where = dt.UTC if stamp.is_utc else ZoneInfo(zone)
    local = dt.datetime.combine(stamp.on, stamp.at or dt.time(), where)
    if end and stamp.at is None:
        local = dt.datetime.combine(stamp.on, dt.time.max, where)
    return local.astimezone(dt.UTC)
