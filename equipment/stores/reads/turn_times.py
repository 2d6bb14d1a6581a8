"""How long a shop takes with a part number, learned from its own history. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

#: Fewer cases than this tell nothing: the operator's own figure counts.
FEWEST_CASES = 3
#: Nine of ten cases were no longer.
HIGH = 0.9


@dataclass(frozen=True, slots=True)
class TurnTime:
    """Whole days: half of the cases took no longer than ``usual``, nine of ten no longer than ``high``.

    ``cases`` are those in the history. Where they are too few ``is_learned`` is false and both are
    the operator's figure.
    """

    usual: int
    high: int
    cases: int
    is_learned: bool


def turn_time(days: Sequence[int], *, rule_days: int) -> TurnTime:
    """The turn time from whole days of past orders, or ``rule_days`` where there are too few."""
    cases = sorted(days)
    if len(cases) < FEWEST_CASES:
        return TurnTime(rule_days, rule_days, len(cases), is_learned=False)
    high = cases[math.ceil(HIGH * len(cases)) - 1]  # nearest rank: a time that did occur
    return TurnTime(math.ceil(median(cases)), high, len(cases), is_learned=True)
