"""Dates, month stamps and instants out of cells, with the precision that was given.

A slashed date that can be read two ways is refused with both readings, never guessed. Years of two
digits stand for 1970 to 2069 where the month is a word (``FEB 21``), the form stamped on plates.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from fleet.house.moments import FIRST_YEAR, LAST_YEAR, is_plausible

from .date_texts import DAY_FIRST, ISO, UNDECLARED, WAYS, stamp_of_eight, stamp_of_text
from .problems import CellError, CellProblem
from .stamps import MonthCell, Reading, Stamp, in_words, not_a_date, plausible

__all__ = ["DAY_FIRST", "ISO", "UNDECLARED", "WAYS", "MonthCell", "Stamp", "in_words", "stamp_of"]

_DAY_ZERO = dt.date(1899, 12, 30)  # from which a workbook counts days


def stamp_of(cell: object, ways: str = UNDECLARED) -> Reading:
    """This will read one cell as a day, month, year or instant; None for a blank cell.

    ``ways`` says how slashed dates are read: ``""`` undeclared (two readings are refused),
    ``"day-first"``, or ``"iso"`` (slashed dates are refused). A problem is returned, not raised.
    """
    if cell is None:
        return None
    if type(cell) is str:
        return stamp_of_text(cell, ways)
    reader = _READERS.get(type(cell))
    return reader(cell) if reader else not_a_date(cell)


def _of_error(cell: CellError) -> Reading:
    return CellProblem(
        "formula_error", f"The formula gives {cell}.", "Mend the formula or type the date."
    )


def _of_datetime(cell: dt.datetime) -> Reading:
    if cell.time() == dt.time():
        return plausible(Stamp(cell.date(), "day"))
    return plausible(Stamp(cell.date(), "instant", cell.time()))


def _of_number(number: float) -> Reading:
    if not abs(number) < 1e9 or number != int(number):
        return not_a_date(number)
    whole = int(number)
    if FIRST_YEAR <= whole <= LAST_YEAR:
        return Stamp(dt.date(whole, 1, 1), "year")
    on = _DAY_ZERO + dt.timedelta(days=whole) if 0 < whole < 100_000 else None
    if on and is_plausible(on):
        return CellProblem(
            "number_for_a_date",
            f"{whole} is a bare number; counted as a workbook counts days it would be "
            f"{in_words(Stamp(on, 'day'))}.",
            "Format the cell as a date, or write it as 2026-11-25.",
        )
    return stamp_of_eight(str(whole)) if len(str(whole)) == 8 else not_a_date(number)


_READERS: dict[type, Callable[[Any], Reading]] = {
    CellError: _of_error,
    dt.datetime: _of_datetime,
    dt.date: lambda cell: plausible(Stamp(cell, "day")),
    MonthCell: lambda cell: plausible(Stamp(cell.on.replace(day=1), "month")),
    int: _of_number,
    float: _of_number,
}
