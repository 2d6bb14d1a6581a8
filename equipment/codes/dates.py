"""Dates as marks write them: six or eight digits, the day perhaps 00 for *the month's end*."""

from __future__ import annotations

import calendar
import re
from datetime import date

from .mark import Dated

_ISO = re.compile(r"([0-9]{4})-([0-9]{2})(?:-([0-9]{2}))?\Z")


def full_year(two: int, year: int) -> int:
    """The year that two digits mean beside the given year: from 49 years back to 50 years on (GS1 General
    Specifications 7.12, from memory)."""
    ahead = two - year % 100
    century = year - year % 100
    if ahead >= 51:
        return century - 100 + two
    if ahead <= -50:
        return century + 100 + two
    return century + two


def short_date(digits: str, year: int) -> Dated | None:
    """YYMMDD; None where it is no date."""
    if not re.fullmatch("[0-9]{6}", digits):
        return None
    return _dated(full_year(int(digits[:2]), year), int(digits[2:4]), int(digits[4:]))


def long_date(text: str) -> Dated | None:
    """YYYYMMDD, YYYY-MM-DD or YYYY-MM; None where it is no date."""
    if re.fullmatch("[0-9]{8}", text):
        return _dated(int(text[:4]), int(text[4:6]), int(text[6:]))
    found = _ISO.match(text)
    return _dated(int(found[1]), int(found[2]), int(found[3] or 0)) if found else None


def _dated(year: int, month: int, day: int) -> Dated | None:
    if not (1 <= month <= 12 and date.min.year <= year <= date.max.year):
        return None
    last = calendar.monthrange(year, month)[1]
    if day > last:
        return None
    return Dated(date(year, month, day or last), is_month=day == 0)
