"""What a bottle's filling asks of the upper app that knows limits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fleet.house.ports import Port


@dataclass(frozen=True, slots=True)
class BottleLimits:
    """When a bottle may no longer be filled, when its life ends, how many fillings are left of it."""

    requalify_by: date | None = None
    is_test_required: bool = False
    life_ends_on: date | None = None
    fillings_left: int | None = None


#: Asked with a unit and a day; of one without limits all is left out.
bottle_limits_of: Port[[int, date], BottleLimits] = Port("what a bottle's limits say")
