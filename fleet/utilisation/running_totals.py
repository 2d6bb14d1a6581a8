"""Whether a total read fits among those counted: plain data, no database and no clock.

The one rule of what is questioned: page, grid, sheet, own spreadsheet and program all ask it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta, tzinfo

from fleet.words.said import count_words, day_words, hours_words

MINUTES = "minutes"
DAY = timedelta(days=1)
#: What is usual is taken from the readings of so long before, and from no shorter a time.
YEAR, SHORTEST = 365 * DAY, 20 * DAY
#: More than so many times the usual use is questioned; never what an aircraft may well do in a day.
TIMES_USUAL = 3
MAY_WELL = {MINUTES: 480.0}
MAY_WELL_COUNT = 6.0
#: What no day holds, or hardly any.
MOST_A_DAY = {MINUTES: 1440.0}
MOST_COUNT_A_DAY = 16.0


class RunningTotals:
    """Readings of one measure of one aircraft that count, in the order of time."""

    def __init__(
        self,
        readings: Iterable[tuple[datetime, int, int, bool]],
        unit: str = "",
        zone: tzinfo = UTC,
    ) -> None:
        """``readings``: (read at, total, key, whether a day alone), in any order; ``unit`` as the measure
        has it. ``zone``: where the aircraft is based, whose days are said."""
        self.unit, self.zone = unit, zone
        found = sorted(readings)
        self._at = [each[0] for each in found]
        self._totals = [each[1] for each in found]
        self._keys: list[int | None] = [each[2] for each in found]
        self._are_days = [each[3] for each in found]

    def leave_out(self, key: int) -> None:
        """This will count the reading of this key no more; nothing if it was not counted."""
        if key in self._keys:
            index = self._keys.index(key)
            for column in (self._at, self._totals, self._keys, self._are_days):
                del column[index]

    def count(self, at: datetime, total: int, *, is_day: bool) -> None:
        """This will count one more, whose key is not known yet."""
        index = bisect_right(self._at, at)
        self._at.insert(index, at)
        self._totals.insert(index, total)
        self._keys.insert(index, None)
        self._are_days.insert(index, is_day)

    def why_backwards(self, at: datetime, total: int) -> list[str]:
        """Why this total cannot be right beside those counted; empty where it fits."""
        first, behind = bisect_left(self._at, at), bisect_right(self._at, at)
        reasons = []
        if first and self._totals[first - 1] > total:
            reasons.append(_words("less than", first - 1, self))
        reasons.extend(
            _words("not", index, self)
            for index in range(first, behind)
            if self._totals[index] != total
        )
        if behind < len(self._at) and self._totals[behind] < total:
            reasons.append(_words("more than", behind, self))
        return reasons

    def why_too_much(self, at: datetime, total: int) -> str:
        """Why nobody believes this total at once: it is far beyond the usual use since the reading
        before. Empty where it may well be."""
        before = bisect_left(self._at, at)
        if not before:
            return ""
        last_at, last = self.at(before - 1)
        usual = self._usual(before)
        if total - last <= most_since(at - last_at, usual, self.unit):
            return ""
        never = ""
        if total - last > _possible(at - last_at, self.unit):
            never = (
                "No day has so many hours. "
                if self.unit == MINUTES
                else "Hardly any day has so many. "
            )
        a_day = f"It usually makes {self.said(round(usual))} a day. " if usual is not None else ""
        return (
            f"{self.said(total)} is {self.said(total - last)} more than the {self.said(last)} read on"
            f" {self.day_said(before - 1)}. {never}{a_day}Check it against the log; if it is right, confirm it."
        )

    def last_said(self) -> str:
        """The latest total with its day, and the usual use: for whoever types the next."""
        if not self._at:
            return "none yet"
        place = len(self._at) - 1
        usual = self._usual(place + 1)
        rate = ""
        if usual is not None:
            rate = (
                f", {hours_words(round(usual)) if self.unit == MINUTES else f'{usual:.1f}'} a day"
            )
        _, total = self.at(place)
        figure = hours_words(total) if self.unit == MINUTES else count_words(total)
        return f"{figure} on {self.day_said(place)}{rate}"

    def _usual(self, before: int) -> float | None:
        """The use a day over the year before the reading at this place; None if too few tell."""
        last_at, last = self.at(before - 1)
        first_at, first = self.at(bisect_left(self._at, last_at - YEAR, hi=before - 1))
        span = last_at - first_at
        return (last - first) / (span / DAY) if span >= SHORTEST else None

    def day_said(self, index: int) -> str:
        """The day of a reading where the aircraft is based; a day alone is given by its end there."""
        at = self._at[index].astimezone(self.zone)
        return day_words((at - DAY / 2 if self._are_days[index] else at).date())

    def said(self, total: int) -> str:
        """A total in the measure's own words: ``7 170:15 h``, or a count."""
        return f"{hours_words(total)} h" if self.unit == MINUTES else count_words(total)

    def at(self, index: int) -> tuple[datetime, int]:
        return self._at[index], self._totals[index]


def _words(how: str, index: int, totals: RunningTotals) -> str:
    _, total = totals.at(index)
    return f"It is {how} the {totals.said(total)} read on {totals.day_said(index)}."


def most_since(passed: timedelta, usual: float | None, unit: str) -> float:
    """How much may well have been added in this time by an aircraft of this usual use a day.

    Readings of a day alone may lie a day apart in truth. No hour has more than sixty minutes.
    """
    possible = _possible(passed, unit)
    if usual is None:
        return possible
    may_well = max(TIMES_USUAL * usual, MAY_WELL.get(unit, MAY_WELL_COUNT))
    return min(possible, may_well * (passed / DAY + 2))


def _possible(passed: timedelta, unit: str) -> float:
    return MOST_A_DAY.get(unit, MOST_COUNT_A_DAY) * (passed / DAY + 1)
