"""What the hangars hold of a month's checks: days of their slots, taken and there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from scheduling.models import HangarCapacity
from scheduling.planning.facts.ground import GroundTime


@dataclass(frozen=True, slots=True)
class SlotDays:
    """Of the days of a month from ``as_of`` on: ``held`` slots, a day of each, of the hangars of which something
    is said (None: of none); checks take ``taken`` of them, on ``over`` days more than a hangar holds. ``unsaid``
    checks begin where nobody has said what the hangar holds."""

    held: int | None
    taken: int
    over: int
    unsaid: int


def slot_days(
    times: Sequence[GroundTime],
    said: Mapping[int, Sequence[HangarCapacity]],
    first: date,
    after: date,
) -> SlotDays:
    """The slots of the days from ``first`` to the day before ``after``; ``said`` of each station's hangar, by its
    first day. A check has its slot on its last day too; an overnight stop needs none."""
    checks = [time for time in times if not time.is_overnight]
    unsaid = sum(first <= one.starts_on < after and one.station_id not in said for one in checks)
    days = [first + timedelta(days=each) for each in range((after - first).days)]
    held: int | None = None
    taken = over = 0
    for station, rows in said.items():
        there = [one for one in checks if one.station_id == station]
        for day in days:
            slots = next((row.slots for row in reversed(rows) if row.from_on <= day), None)
            if slots is None:
                continue
            wanted = sum(one.starts_on <= day <= one.ends_on for one in there)
            held = (held or 0) + slots
            taken += wanted
            over += wanted > slots
    return SlotDays(held, taken, over, unsaid)
