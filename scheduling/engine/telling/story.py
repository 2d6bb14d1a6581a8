"""One clock of one item, with all that its sentences are made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from scheduling.engine.basis.clockwork import ClockResult
from scheduling.engine.basis.columns import Facts
from scheduling.engine.basis.limits import Clock, Limit
from scheduling.engine.totals.subjects import Reckoner


@dataclass(frozen=True, slots=True)
class ClockStory:
    """One clock of one item: its rule, what was reckoned, and the facts (of that item alone)."""

    limit: Limit
    clock: Clock
    result: ClockResult
    facts: Facts
    reckoner: Reckoner
    as_of: date
