"""What is told at once, to whom, and who hears of it next where nobody looked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from fleet.house.desks import (
    ADMINISTRATOR,
    CERTIFYING,
    CONTROLLER,
    INSPECTOR,
    STORES,
)


@dataclass(frozen=True, slots=True)
class Sort:
    """One sort of notice: its code, what it is, whom it is told, and after how long, unread by all of them,
    who is told next. How long is common practice without a source."""

    code: str
    words: str
    to: tuple[str, ...] = ()
    after: timedelta | None = None
    then: tuple[str, ...] = ()


#: What a person decided, or was handed: that is shown to this person whatever is chosen.
OWN = "own"
OVERDUE, NO_CHECK, NO_UNIT, SHOP, SETTLE, CALL = (
    "overdue",
    "no_check",
    "no_unit",
    "shop",
    "settle",
    "call",
)
SORTS = (
    Sort(OWN, "What became of what I decided, and what is handed to me"),
    Sort(
        OVERDUE,
        "Something became overdue",
        (CONTROLLER,),
        timedelta(hours=2),
        (CERTIFYING,),
    ),
    Sort(
        NO_CHECK,
        "A work fits no check any more",
        (CONTROLLER,),
        timedelta(hours=24),
        (ADMINISTRATOR,),
    ),
    Sort(
        NO_UNIT,
        "Nothing fits a need of the next 31 days",
        (CONTROLLER, STORES),
        timedelta(hours=24),
        (ADMINISTRATOR,),
    ),
    Sort(
        SHOP,
        "A shop order is late",
        (CONTROLLER, STORES),
        timedelta(hours=24),
        (ADMINISTRATOR,),
    ),
    Sort(
        SETTLE,
        "A record is to be settled",
        (CONTROLLER,),
        timedelta(hours=4),
        (CERTIFYING,),
    ),
    Sort(
        CALL,
        "An inspector is called",
        (INSPECTOR, CERTIFYING),
        timedelta(minutes=15),
        (CONTROLLER,),
    ),
)
BY_CODE = {sort.code: sort for sort in SORTS}
CODES = tuple(BY_CODE)


def to_mail() -> list[tuple[str, str]]:
    """What may come by mail."""
    return [(sort.code, sort.words) for sort in SORTS]


def to_show() -> list[tuple[str, str]]:
    """What may be left out in the app: all but what is one's own."""
    return [(sort.code, sort.words) for sort in SORTS if sort.code != OWN]
