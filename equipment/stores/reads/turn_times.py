"""How long a shop takes with a part number, learned from its own history. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

#: Fewer cases than this tell nothing: the operator's own figure counts.
FEWEST_CASES = 3
#: Nine of ten cases were no longer, told of so many cases or more.
HIGH, TEN = 0.9, 10


@dataclass(frozen=True, slots=True)
class TurnTime:
    """Whole days: half of the cases took no longer than ``usual``, nine of ten no longer than ``high``.

    ``cases`` are those in the history. Where they are too few ``is_learned`` is false and both are
    the operator's figure. ``shortest`` and ``longest`` are what did occur, nought where nothing did.
    """

    usual: int
    high: int
    cases: int
    is_learned: bool
    shortest: int = 0
    longest: int = 0

    @property
    def tells_nine_of_ten(self) -> bool:
        """Of fewer than ten orders nobody can say what nine of ten do not exceed: the longest is all that is known."""
        return self.is_learned and self.cases >= TEN

    @property
    def spread(self) -> str:
        """What did occur, in days: ``28 to 83``; empty where nothing did."""
        if not self.cases:
            return ""
        if self.shortest == self.longest:
            return str(self.shortest)
        return f"{self.shortest} to {self.longest}"


def turn_time(days: Sequence[int], *, rule_days: int) -> TurnTime:
    """The turn time from whole days of past orders, or ``rule_days`` where there are too few."""
    cases = sorted(days)
    if len(cases) < FEWEST_CASES:
        return TurnTime(rule_days, rule_days, len(cases), False, *_ends(cases))
    high = cases[math.ceil(HIGH * len(cases)) - 1]  # nearest rank: a time that did occur
    return TurnTime(math.ceil(median(cases)), high, len(cases), True, *_ends(cases))


def _ends(cases: Sequence[int]) -> tuple[int, int]:
    return (cases[0], cases[-1]) if cases else (0, 0)
