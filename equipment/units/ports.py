"""What a unit's paper asks of the upper app that knows limits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fleet.house.ports import Port


@dataclass(frozen=True, slots=True)
class Ending:
    """What ends first of a unit and all inside it: the last good day, and of what, in words."""

    on: date
    words: str


#: Asked with a unit and a day; None where nothing of it or in it has a date.
ends_first: Port[[int, date], Ending | None] = Port("what ends first of a unit and all inside it")
