"""What a bottle's filling asks of the upper app that knows limits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fleet.house.ports import Port
from fleet.models import User


@dataclass(frozen=True, slots=True)
class BottleLimits:
    """When a bottle may no longer be filled, when its life ends, how many fillings are left of it,
    and which tests it failed."""

    requalify_by: date | None = None
    is_test_required: bool = False
    life_ends_on: date | None = None
    fillings_left: int | None = None
    failed: tuple[str, ...] = ()


#: Asked with a unit and a day; of one without limits all is left out.
bottle_limits_of: Port[[int, date], BottleLimits] = Port("what a bottle's limits say")


@dataclass(frozen=True, slots=True)
class Requalified:
    """A cylinder's periodic test: of which unit, in which month, by which method, passed or not."""

    unit_id: int
    month: date
    method: str
    is_passed: bool
    who: str
    document: str
    act_id: UUID
    by: User
    at: datetime


#: An act: records the test as the work of each limit that forbids a filling once it is due.
record_requalified_works: Port[[Requalified], set[str]] = Port(
    "who records a cylinder's test as a work done"
)
