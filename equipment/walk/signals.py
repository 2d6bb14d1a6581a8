"""How a walk-round asks an upper layer what a plate should say, without importing it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from django.dispatch import Signal

from equipment.models import WalkRound

#: On which days do limits by the calendar run out? Argument: unit_ids. Receivers return
#: ``{unit_id: [day, ...]}`` of the days that are known.
expiries_asked = Signal()


def expiries_of(unit_ids: Sequence[int]) -> dict[int, tuple[date, ...]]:
    """The days on which the limits of these units run out by the calendar, as far as they are known."""
    found: dict[int, tuple[date, ...]] = {}
    for _, answer in expiries_asked.send(sender=WalkRound, unit_ids=list(unit_ids)):
        told: Mapping[int, Sequence[date]] = answer if isinstance(answer, Mapping) else {}
        for unit_id, days in told.items():
            found[unit_id] = (*found.get(unit_id, ()), *days)
    return found
