"""A dated value with the precision that was given, and how it is worded."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from fleet.house.moments import FIRST_YEAR, LAST_YEAR, is_plausible

from .problems import CellProblem, shown

LONG_MONTHS = (
    "JANUARY",
    "FEBRUARY",
    "MARCH",
    "APRIL",
    "MAY",
    "JUNE",
    "JULY",
    "AUGUST",
    "SEPTEMBER",
    "OCTOBER",
    "NOVEMBER",
    "DECEMBER",
)
MONTHS = tuple(name[:3] for name in LONG_MONTHS)


class Stamp(NamedTuple):
    """A day, month or year as given: its first day, its precision, and the time if an instant.

    ``precision`` is ``instant``, ``day``, ``month`` or ``year``. ``at`` is the local time of an
    instant; ``is_utc`` says that it was written with a Z.
    """

    on: dt.date
    precision: str
    at: dt.time | None = None
    is_utc: bool = False


class MonthCell(NamedTuple):
    """A real date of a workbook whose cell shows its month and year only."""

    on: dt.date


Reading = Stamp | CellProblem | None


def in_words(stamp: Stamp) -> str:
    """``3 Mar 2027``, ``Mar 2027`` or ``2027``, with the time of an instant."""
    month = MONTHS[stamp.on.month - 1].capitalize()
    if stamp.precision == "year":
        return str(stamp.on.year)
    if stamp.precision == "month":
        return f"{month} {stamp.on.year}"
    day = f"{stamp.on.day} {month} {stamp.on.year}"
    return f"{day} {stamp.at:%H:%M}" if stamp.at else day


def not_a_date(cell: object) -> CellProblem:
    return CellProblem(
        "not_a_date",
        f"'{shown(cell)}' cannot be read as a date.",
        "Write it as 2026-11-25 or 25 Nov 2026.",
    )


def plausible(stamp: Stamp) -> Reading:
    if is_plausible(stamp.on):
        return stamp
    return CellProblem(
        "date_out_of_range",
        f"{in_words(stamp)} is not between {FIRST_YEAR} and {LAST_YEAR}.",
        "Check the year, and that the cell holds a date and not a number shown as one.",
    )
