"""Use month by month out of readings of a running total: plain arithmetic over plain data."""

from __future__ import annotations

from bisect import bisect_right
from datetime import date

from fleet.drawing.time import month_after

Reading = tuple[date, int]  # at the end of that day


def total_on(readings: list[Reading], day: date) -> float | None:
    """The total at the end of a day, read or drawn straight between two readings.

    ``readings`` in order of date. None outside what was read: nothing is guessed beyond it.
    """
    at = bisect_right(readings, (day, 1 << 62))
    if at == 0:
        return None
    before_on, before = readings[at - 1]
    if before_on == day:
        return float(before)
    if at == len(readings):
        return None
    after_on, after = readings[at]
    share = (day - before_on).days / (after_on - before_on).days
    return before + (after - before) * share


def by_month(readings: list[Reading], today: date, months: int) -> list[tuple[date, float]]:
    """(first of month, use) for the months before ``today``'s that readings cover, oldest first."""
    found = []
    for back in range(months, 0, -1):
        first, after = month_after(today, -back), month_after(today, 1 - back)
        begin, end = (
            total_on(readings, date.fromordinal(first.toordinal() - 1)),
            total_on(readings, date.fromordinal(after.toordinal() - 1)),
        )
        if begin is not None and end is not None:
            found.append((first, end - begin))
    return found
