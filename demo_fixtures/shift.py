"""The demonstration's dates, moved to the day it is loaded. Pure: no clock, no database.

The sheets are written for one reference day (``reference_day.txt``, the 15th of a month). Loaded
on another day:

- a full date moves by whole **days**, as many as lie between the two days, so that readings
  stay a day apart and every interval keeps its length;
- a stamp of month and year moves by whole calendar **months**, from the reference day's month to
  the load day's month, so that what was good to the end of this month still is.

The two differ by the difference of the days in the month: at most 16 days, since the reference
day is a 15th. The hard cases keep a distance larger than that from what would change their band.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

MONTHS = ("JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC")
DAY = re.compile(r"(\d{4}-\d{2}-\d{2})((?:[T ]\d{2}:\d{2}(?::\d{2})?Z?)?)")
STAMP = re.compile(r"(\d{2})/(\d{4})")
NAMED_STAMP = re.compile(rf"({'|'.join(MONTHS)}) (\d{{2}})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Shift:
    """So many days for full dates, so many calendar months for stamps of month and year."""

    days: int
    months: int


def shift_between(reference: date, today: date) -> Shift:
    """This will tell how far the sheets' dates move when they are loaded on ``today``."""
    months = (today.year - reference.year) * 12 + today.month - reference.month
    return Shift((today - reference).days, months)


def moved_month(year: int, month: int, months: int) -> tuple[int, int]:
    """A month moved by whole months: ``(2026, 11)`` by 3 is ``(2027, 2)``."""
    index = year * 12 + month - 1 + months
    return index // 12, index % 12 + 1


def moved_text(text: str, shift: Shift) -> str:
    """A cell of text with its date moved, written as it was; any other text is returned as it is."""
    if found := DAY.fullmatch(text):
        day = date.fromisoformat(found[1]) + timedelta(days=shift.days)
        return f"{day:%Y-%m-%d}{found[2]}"
    if found := STAMP.fullmatch(text):
        year, month = moved_month(int(found[2]), int(found[1]), shift.months)
        return f"{month:02d}/{year}"
    if found := NAMED_STAMP.fullmatch(text):
        month = MONTHS.index(found[1].upper()) + 1
        year, month = moved_month(2000 + int(found[2]), month, shift.months)
        return f"{MONTHS[month - 1]} {year % 100:02d}"
    return text


def moved_cell(cell: object, shift: Shift) -> object:
    """A cell as a workbook gives it (text, number, date): dates are moved, the rest is kept."""
    if isinstance(cell, datetime | date):
        return cell + timedelta(days=shift.days)
    return moved_text(cell, shift) if isinstance(cell, str) else cell
