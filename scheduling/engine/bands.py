"""Which band a due item is in, against its aircraft's planned checks."""

from __future__ import annotations

from enum import IntEnum


class Band(IntEnum):
    """In the order of urgency. ``IN_STORE``: the unit is on no aircraft. ``QUIET``: nothing runs."""

    OVERDUE = 0
    OUT_OF_PHASE = 1
    BEFORE_RETURN = 2
    NEXT_CHECK = 3
    LATER_CHECK = 4
    BEYOND_PLAN = 5
    IN_STORE = 6
    NO_BASIS = 7
    QUIET = 8


# The codes by which screens, export and command know them.
CODES: dict[Band, str] = {
    Band.OVERDUE: "overdue",
    Band.OUT_OF_PHASE: "out-of-phase",
    Band.BEFORE_RETURN: "before-return",
    Band.NEXT_CHECK: "next-check",
    Band.LATER_CHECK: "later-check",
    Band.BEYOND_PLAN: "beyond-plan",
    Band.IN_STORE: "in-store",
    Band.NO_BASIS: "no-basis",
    Band.QUIET: "quiet",
}
