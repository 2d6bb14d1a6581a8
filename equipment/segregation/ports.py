"""What segregation asks of the upper app that knows limits and programmes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from fleet.house.ports import Port


@dataclass(frozen=True, slots=True)
class LimitsSay:
    """Sentences of what has run out of a unit, or failed its test, and of limits that are unknown."""

    expired: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


#: Asked with units (each with itself and all in it) and a day. One of which nothing is to be said is
#: missing.
expired_among: Port[[Mapping[int, Sequence[int]], date], dict[int, LimitsSay]] = Port(
    "which limits of units, or of what is inside them, have run out or are unknown"
)
#: Asked with units, each by itself, and a day. Nothing is reckoned: who is named is judged by the question
#: above.
not_cleared_of: Port[[Sequence[int], date], set[int]] = Port(
    "which units are not cleared of a limit that has run out"
)
#: Asked with an aircraft and a day. The code of the maintenance programme that it follows then; empty
#: if it follows none.
programme_followed_by: Port[[int, date], str] = Port("which programme an aircraft follows")
