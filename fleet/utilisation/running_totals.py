"""Whether a total read fits among those counted: plain data, no database and no clock."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import datetime

from fleet.words.said import count_words, day_words


class RunningTotals:
    """Readings of one measure of one aircraft that count, in the order of time."""

    def __init__(self, readings: Iterable[tuple[datetime, int, int]]) -> None:
        """``readings``: (read at, total, key), in any order."""
        found = sorted(readings)
        self._at = [at for at, _, _ in found]
        self._totals = [total for _, total, _ in found]
        self._keys: list[int | None] = [key for _, _, key in found]

    def leave_out(self, key: int) -> None:
        """This will count the reading of this key no more; nothing if it was not counted."""
        if key in self._keys:
            index = self._keys.index(key)
            for column in (self._at, self._totals, self._keys):
                del column[index]

    def count(self, at: datetime, total: int) -> None:
        """This will count one more, whose key is not known yet."""
        index = bisect_right(self._at, at)
        self._at.insert(index, at)
        self._totals.insert(index, total)
        self._keys.insert(index, None)

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

    def at(self, index: int) -> tuple[datetime, int]:
        return self._at[index], self._totals[index]


def _words(how: str, index: int, totals: RunningTotals) -> str:
    at, total = totals.at(index)
    return f"It is {how} the {count_words(total)} read on {day_words(at.date())}."
