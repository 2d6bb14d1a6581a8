"""What a walk-round asks of the upper app that knows limits: what a plate should say."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fleet.house.ports import Port

#: Asked with units. The known days by unit, the earliest first; a unit of which none is known is missing.
expiries_of: Port[[Sequence[int]], dict[int, tuple[date, ...]]] = Port(
    "on which days the limits of units run out by the calendar"
)
