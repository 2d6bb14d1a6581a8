"""Dates as people write them. A form that can be read two ways gives both readings."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from functools import partial

from fleet.house.moments import is_plausible

from .problems import CellProblem, shown
from .stamps import LONG_MONTHS, MONTHS, Reading, Stamp, in_words, not_a_date, plausible

DAY_FIRST, ISO, UNDECLARED = "day-first", "iso", ""
WAYS = (UNDECLARED, DAY_FIRST, ISO)
MONTH_OF = {name: i + 1 for names in (MONTHS, LONG_MONTHS) for i, name in enumerate(names)}
MONTH_OF["SEPT"] = 9

_W = "|".join(sorted(MONTH_OF, key=len, reverse=True))
_SEP = r"[ /.\-]"
_TIME = re.compile(r"^(.*?\d)(?:T| +)(\d{1,2}):(\d{2})(?::(\d{2})(?:\.0+)?)? ?(Z|UTC)?$")
_YMD = re.compile(r"^(\d{4})([-/. ])(\d{1,2})\2(\d{1,2})$")
_NUMBERS = re.compile(rf"^(\d{{1,2}})({_SEP})(\d{{1,2}})\2(\d{{4}}|\d{{2}})$")
_DMW = re.compile(rf"^(\d{{1,2}})(?:ST|ND|RD|TH)?{_SEP}?({_W}){_SEP}?,? ?'?(\d{{4}}|\d{{2}})$")
_MDY = re.compile(rf"^({_W}){_SEP}(\d{{1,2}})(?:ST|ND|RD|TH)?(?:, ?| )(\d{{4}})$")
_YMWD = re.compile(rf"^(\d{{4}}){_SEP}?({_W}){_SEP}?(\d{{1,2}})$")
_MW_Y = re.compile(rf"^({_W})(?:{_SEP}|, ?)?'?(\d{{4}}|\d{{2}})$")
_Y_MW = re.compile(rf"^(\d{{4}}){_SEP}?({_W})$")
_D_MW = re.compile(rf"^(\d{{1,2}}){_SEP}?({_W})$")
_Y_M = re.compile(r"^(\d{4})[-/. ](\d{1,2})$")
_M_Y = re.compile(r"^(\d{1,2})[-/. ](\d{4})$")
_N_N = re.compile(r"^(\d{1,2})[-/.](\d{1,2})$")
_EIGHT = re.compile(r"^\d{8}$")
_WEEKDAY = re.compile(r"^(MON|TUE|WED|THU|FRI|SAT|SUN)[A-Z]*,? ")


def stamp_of_text(cell: str, ways: str) -> Reading:
    """This will read a date as written; None if blank. See :func:`fleet.intake.dates.stamp_of`."""
    text = (
        " ".join(cell.replace("\u2013", "-").replace("\u2212", "-").split())
        .lstrip("'")
        .strip()
        .upper()
    )
    if not text:
        return None
    if len(text) > 40:
        return not_a_date(cell)
    text = _WEEKDAY.sub("", text)
    timed = _TIME.match(text)
    if not timed:
        return _of_day_text(text, ways)
    stamp = _of_day_text(timed[1], ways)
    if not isinstance(stamp, Stamp) or stamp.precision != "day":
        return stamp if isinstance(stamp, CellProblem) else not_a_date(cell)
    hour, minute, second = int(timed[2]), int(timed[3]), int(timed[4] or 0)
    if hour > 23 or minute > 59 or second > 59:
        return CellProblem(
            "not_a_time",
            f"'{shown(cell)}' has no such time of day.",
            "Write the time from 00:00 to 23:59.",
        )
    return Stamp(stamp.on, "instant", dt.time(hour, minute, second), bool(timed[5]))


def _of_day_text(text: str, ways: str) -> Reading:
    forms: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], Reading]], ...] = (
        (_YMD, lambda m: _day(m[1], m[3], m[4], text)),
        (_NUMBERS, partial(_of_three_numbers, ways=ways)),
        (_DMW, lambda m: _day(_year(m[3]), MONTH_OF[m[2]], m[1], text)),
        (_MDY, lambda m: _day(m[3], MONTH_OF[m[1]], m[2], text)),
        (_YMWD, lambda m: _day(m[1], MONTH_OF[m[2]], m[3], text)),
        (_MW_Y, lambda m: _month(_year(m[2]), MONTH_OF[m[1]], text)),
        (_Y_MW, lambda m: _month(m[1], MONTH_OF[m[2]], text)),
        (_D_MW, _of_day_and_month),
        (_Y_M, lambda m: _month(m[1], m[2], text)),
        (_M_Y, lambda m: _month(m[2], m[1], text)),
        (_N_N, _of_two_numbers),
        (_EIGHT, lambda m: stamp_of_eight(text)),
        (
            re.compile(r"^\d{4}$"),
            lambda m: plausible(Stamp(dt.date(max(int(text), 1), 1, 1), "year")),
        ),
    )
    for pattern, reader in forms:
        if found := pattern.match(text):
            return reader(found)
    return not_a_date(text)


def _year(text: str) -> int:
    year = int(text)
    return year if len(text) == 4 else year + (1900 if year >= 70 else 2000)


def _maybe_day(year: int | str, month: int | str, day: int | str) -> dt.date | None:
    try:
        return dt.date(int(year), int(month), int(day))
    except ValueError:
        return None


def _day(year: int | str, month: int | str, day: int | str, text: str) -> Reading:
    on = _maybe_day(year, month, day)
    if on is None:
        return CellProblem(
            "no_such_day",
            f"'{shown(text)}' is a day that does not exist.",
            "Check day and month; write it as 2026-11-25.",
        )
    return plausible(Stamp(on, "day"))


def _month(year: int | str, month: int | str, text: str) -> Reading:
    on = _maybe_day(year, month, 1)
    if on is None:
        return CellProblem(
            "no_such_month",
            f"'{shown(text)}' is a month that does not exist.",
            "Write it as 2021-02 or Feb 2021.",
        )
    return plausible(Stamp(on, "month"))


def _ambiguous(text: str, readings: list[str], would_do: str) -> CellProblem:
    return CellProblem(
        "ambiguous_date", f"'{shown(text)}' can be read as {' or as '.join(readings)}.", would_do
    )


def _of_three_numbers(found: re.Match[str], ways: str) -> Reading:
    text, first, second, last = found[0], int(found[1]), int(found[3]), found[4]
    if ways == ISO:
        return CellProblem(
            "not_iso",
            f"'{text}' is not year first, and this file was declared so.",
            "Write it as 2026-11-25.",
        )
    day_first = _maybe_day(_year(last), second, first)
    if ways == DAY_FIRST:
        return _day(_year(last), second, first, text)
    readings = [day_first, _maybe_day(_year(last), first, second)]
    if len(last) == 2:
        readings.append(_maybe_day(_year(found[1].zfill(2)), second, int(last)))
    days = list(dict.fromkeys(on for on in readings if on))
    if not days:
        return _day(_year(last), second, first, text)
    if len(days) == 1:
        return plausible(Stamp(days[0], "day"))
    return _ambiguous(
        text,
        [in_words(Stamp(on, "day")) for on in days],
        "Write it as 2026-11-25 or 25 Nov 2026, or say that this file's dates are day first.",
    )


def _of_two_numbers(found: re.Match[str]) -> Reading:
    first, second = int(found[1]), int(found[2])
    readings = []
    if 1 <= first <= 12 and len(found[2]) == 2:
        readings.append(in_words(Stamp(dt.date(_year(found[2]), first, 1), "month")))
    for day, month in dict.fromkeys([(first, second), (second, first)]):
        if on := _maybe_day(2000, month, day):
            readings.append(f"{on.day} {MONTHS[on.month - 1].capitalize()} of a year not given")
    if not readings:
        return not_a_date(found[0])
    if len(readings) == 1:
        return CellProblem(
            "year_missing",
            f"'{found[0]}' can only be {readings[0]}.",
            "Write the year with four digits.",
        )
    return _ambiguous(found[0], readings, "Write a month as 2021-02, a day as 2021-02-21.")


def _of_day_and_month(found: re.Match[str]) -> Reading:
    month = MONTH_OF[found[2]]
    readings = []
    if on := _maybe_day(2000, month, found[1]):
        readings.append(f"{on.day} {MONTHS[month - 1].capitalize()} of a year not given")
    if len(found[1]) == 2:
        readings.append(in_words(Stamp(dt.date(_year(found[1]), month, 1), "month")))
    if not readings:
        return not_a_date(found[0])
    if len(readings) == 1:
        return CellProblem(
            "year_missing",
            f"'{found[0]}' can only be {readings[0]}.",
            "Write the year with four digits.",
        )
    return _ambiguous(found[0], readings, "Write a month as Feb 2021, a day as 21 Feb 2021.")


def stamp_of_eight(text: str) -> Reading:
    """This will read eight digits, year first; both readings where day first is possible too."""
    year_first = _maybe_day(text[:4], text[4:6], text[6:])
    day_first = _maybe_day(text[4:], text[2:4], text[:2])
    days = [on for on in (year_first, day_first) if on and is_plausible(on)]
    if len(days) > 1:
        readings = [in_words(Stamp(on, "day")) for on in days]
        return _ambiguous(text, readings, "Write it as 2026-11-25.")
    return Stamp(days[0], "day") if days and days[0] == year_first else not_a_date(text)
