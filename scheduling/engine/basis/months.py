"""Calendar arithmetic on columns of dates. Unknown (NaT) in, unknown out.

Adding months keeps the day of the month, or takes the last day of a month too short for it: the
rule of java.time, dateutil and PostgreSQL (published-facts section 10).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

import numpy as np
import numpy.typing as npt

from .columns import MONTH, UNKNOWN, YEAR, Dates, Ints
from .limits import Stamp

NO_DATE = np.datetime64("NaT", "D")
ONE_DAY = np.timedelta64(1, "D")
ONE_MONTH = np.timedelta64(1, "M")


def day_of(day: date | None) -> np.datetime64:
    """One date as the columns hold it."""
    return NO_DATE if day is None else np.datetime64(day, "D")


def add_months(days: Dates, months: int | Ints) -> Dates:
    """Each day so many whole months later (earlier if negative); a short month gives its last."""
    first = days.astype("datetime64[M]")
    target = first + np.asarray(months).astype("timedelta64[M]")
    start = target.astype("datetime64[D]")
    length = (target + ONE_MONTH).astype("datetime64[D]") - start - ONE_DAY
    moved: Dates = start + np.minimum(days - first.astype("datetime64[D]"), length)
    return moved


def add_days(days: Dates, number: int | Ints) -> Dates:
    moved: Dates = days + np.asarray(number).astype("timedelta64[D]")
    return moved


def month_end(days: Dates) -> Dates:
    """The last day of each day's month."""
    following: Dates = (days.astype("datetime64[M]") + ONE_MONTH).astype("datetime64[D]")
    return add_days(following, -1)


def month_start(days: Dates) -> Dates:
    """The first day of each day's month."""
    first: Dates = days.astype("datetime64[M]").astype("datetime64[D]")
    return first


#: Which day of its month a stamp of month and year stands for.
_STANDS: Mapping[Stamp, Callable[[Dates], Dates]] = {"end": month_end, "start": month_start}


def age_months(born: Dates, on: Dates) -> Ints:
    """The most whole months that, added to ``born``, do not pass ``on``; UNKNOWN without a date."""
    months = on.astype("datetime64[M]") - born.astype("datetime64[M]")
    known = ~np.isnat(months)
    number = np.where(known, months.astype("int64"), 0)
    number = number - (add_months(born, number) > on)
    ages: Ints = np.where(known, number, UNKNOWN)
    return ages


def stamped(days: Dates, precision: npt.NDArray[np.int8], stamp: Stamp) -> Dates:
    """The day that a stamp stands for: of a month its last (or first) day, of a year 1 January."""
    stands = days
    if precision.any():
        stands = np.where(precision == MONTH, _STANDS[stamp](days), days)
        year = days.astype("datetime64[Y]").astype("datetime64[D]")
        stands = np.where(precision == YEAR, year, stands)
    return stands


def days_between(start: Dates, end: Dates) -> Ints:
    """Whole days from start to end, UNKNOWN without a date."""
    gap = end - start
    number: Ints = np.where(np.isnat(gap), UNKNOWN, gap.astype("int64"))
    return number
