"""What is placed, and at what it may be placed: columns, one row for each job and each check."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
#: No check, no access group; and of ``Jobs.chosen`` that nobody chose.
NONE = -1
#: Of ``Jobs.chosen``: a ground time of its own, whatever checks there are.
OWN_TIME = -2
#: Life is priced by so many days, so that a price is a whole number.
PRICED_DAYS = 100


class State(IntEnum):
    """How a job stands in the plan. Up to ``TOGETHER`` it has a check."""

    LAST = 0  #: at the last check on or before its last day less the margin
    CHOSEN = 1  #: at the check that the controller chose
    TOGETHER = 2  #: at an earlier one, with other work behind the same access
    BEYOND = 3  #: no planned check is late enough to say which is the last before its limit
    OWN_TIME = 4  #: the controller gives it a ground time of its own
    IN_MARGIN = 5  #: the only check in time begins inside the margin
    TOO_LATE = 6  #: the first check that can do it begins after its limit
    NO_CHECK = 7  #: no check is planned that can do it
    CHOSEN_LATE = 8  #: the check that was chosen begins after its limit now, or cannot do it


#: What needs somebody: it has no check, or the one it had does not serve.
NEEDS = (
    State.OWN_TIME,
    State.IN_MARGIN,
    State.TOO_LATE,
    State.NO_CHECK,
    State.CHOSEN_LATE,
)


@dataclass(frozen=True, slots=True)
class Jobs:
    """Works to be done, one row each. ``last_on`` is the last good day (days since 1970), ``work`` a row
    of :attr:`Checks.can`, ``group`` the access it is behind (NONE: none), whose price is in ``opening``
    of :func:`scheduling.placing.plan.placed`; ``price`` that of 100 days of its life;
    ``chosen`` the row of the check that the controller chose (one behind all checks: it is to come no
    more), NONE or OWN_TIME."""

    aircraft: Ints
    last_on: Ints
    work: Ints
    group: Ints
    price: Ints
    chosen: Ints

    def __len__(self) -> int:
        return len(self.aircraft)


@dataclass(frozen=True, slots=True)
class Checks:
    """Ground times that are not over, sorted by aircraft, then first day. ``can`` says of each work (a row)
    at which of them (a column) it is possible."""

    aircraft: Ints
    starts_on: Ints
    can: Bools

    def __len__(self) -> int:
        return len(self.aircraft)


@dataclass(frozen=True, slots=True)
class Placed:
    """The plan, one row for each job. ``check`` is a row of the checks, NONE for none; ``last`` the one it
    would have alone; ``coming`` the first one that begins after what the margin allows, ``is_in_time``
    where that is not after its limit."""

    state: npt.NDArray[np.int8]
    check: Ints
    last: Ints
    coming: Ints
    is_in_time: Bools


@dataclass(frozen=True, slots=True)
class Merged:
    """Works of one access group brought together: so many openings fewer, at this price in life, in the
    operator's money. ``rows`` are the jobs that moved."""

    group: int
    openings: int
    opening_saved: int
    life_lost: int
    rows: tuple[int, ...]

    @property
    def saved(self) -> int:
        return self.opening_saved - self.life_lost
