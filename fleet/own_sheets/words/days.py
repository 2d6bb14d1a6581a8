"""Days out of own columns: day or month first is what the column's own dates prove, else it is asked."""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterable
from functools import lru_cache

from fleet.intake.date_texts import DAY_FIRST
from fleet.intake.dates import stamp_of
from fleet.intake.problems import CellError, CellProblem
from fleet.intake.stamps import Reading, Stamp

from .marks import is_date, mark_of, text_in
from .tongues import months_in_english

MONTH_FIRST, ASK, NEITHER = "month-first", "ask", ""
#: How slashed dates of a column are read, in words.
WAYS = {
    DAY_FIRST: "day first: 3/4/2027 is 3 April",
    MONTH_FIRST: "month first: 3/4/2027 is 4 March",
}

_SLASHED = re.compile(r"^\s*(\d{1,2})([ /.\-])(\d{1,2})\2(\d{4}|\d{2})(?!\d)(.*)$", re.DOTALL)

#: What is kept for years is not written without its year: 1/17 is January 2017.
_MONTH_AND_YEAR = re.compile(r"^\s*(0?[1-9]|1[0-2])[/.\-](\d{2})\s*$")


def way_of(cells: Iterable[object]) -> str:
    """Day first or month first where some date of the column can only be one of them; ``ask`` where
    each can be both (or they disagree); empty where no date needs it."""
    days = months = both = 0
    for cell in cells:
        found = _SLASHED.match(date_alone(cell)) if isinstance(cell, str) else None
        if not found:
            continue
        first, second = int(found[1]), int(found[3])
        days += first > 12 >= second
        months += second > 12 >= first
        both += first <= 12 and second <= 12 and first != second
    if bool(days) != bool(months):
        return DAY_FIRST if days else MONTH_FIRST
    return ASK if both or days else NEITHER


def day_in(cell: object, way: str) -> Reading:
    """This will read a day, month or year by the column's way; None for a blank or a mark."""
    return _day_in(type(cell), cell, way) if isinstance(cell, str) else _plain_day(cell, way)


@lru_cache(maxsize=50_000)
def _day_in(sort: type, cell: str, way: str) -> Reading:
    """By its sort too: an error is a text that equals another."""
    return None if mark_of(cell) is not None else _plain_day(cell, way)


_WORDS_BEFORE = re.compile(
    r"^\s*(?:NEXT )?(?:DUE|EXP(?:IRE[SD]?|IRY)?|BEFORE|BY|ON|UNTIL|TILL?|LAST|DONE|OVERDUE|VALID)\b(?: (?:ON|BY|DATE))?[:. ]*(?=\d|[A-Z]{3}[ .-]?\d)",
    re.IGNORECASE,
)
_WORDS_AFTER = re.compile(r"\s*(?:\*+|\([^()]*\))\s*$")


def date_alone(text: str) -> str:
    """A text without the words around its date: ``Due 3 Mar 2027 (C-check)`` as ``3 Mar 2027``."""
    if not re.search(r"\d", text):
        return text
    return months_in_english(_WORDS_AFTER.sub("", _WORDS_BEFORE.sub("", text)))


def _plain_day(cell: object, way: str) -> Reading:
    if isinstance(cell, str) and not isinstance(cell, CellError):
        cell = date_alone(cell)
    if isinstance(cell, str) and way == MONTH_FIRST and (found := _SLASHED.match(cell)):
        cell = f"{found[3]}{found[2]}{found[1]}{found[2]}{found[4]}"
        way = DAY_FIRST
    if isinstance(cell, str) and (found := _MONTH_AND_YEAR.match(cell)):
        cell = f"{calendar.month_abbr[int(found[1])]}-{found[2]}"
    stamp = stamp_of(cell, DAY_FIRST if way in WAYS else "")
    if isinstance(stamp, Stamp) and stamp.precision == "instant":
        return Stamp(stamp.on, "day")
    return stamp


def is_year(cell: object) -> bool:
    """Whether a cell holds a year alone: how old a unit is, nobody writes of a next date."""
    text = text_in(cell)
    return text.isdecimal() and len(text) == 4 and 1950 <= int(text) <= 2100


def looks_like_a_day(cell: object) -> bool:
    """Whether a cell holds a date, also one that could be read two ways or lacks something."""
    if is_date(cell):
        return True
    text = date_alone(text_in(cell)) if isinstance(cell, str) else ""
    if _MONTH_AND_YEAR.match(text):
        return True
    if not 5 <= len(text) <= 30 or not re.search(r"\d", text):
        return False
    read = stamp_of(text)
    if isinstance(read, CellProblem):
        return read.code in {"ambiguous_date", "no_such_day", "date_out_of_range", "no_such_month"}
    return isinstance(read, Stamp) and (read.precision != "year") and not text.isdecimal()
