"""Hours, counts and plain numbers out of cells. Hours are held as whole minutes.

Thousands may be set apart by spaces, apostrophes, commas or dots. Where a lone comma or dot can be
both a thousands mark and a decimal mark (``12,345``), the cell is refused with both readings.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from decimal import Decimal

from fleet.words.said import hours_words

from .problems import CellError, CellProblem, shown
from .stamps import MonthCell

_DAY_ZERO = dt.datetime(1899, 12, 30)  # noqa: DTZ001 - a workbook knows no zone
MOST_HOURS = 10_000_000
MOST_COUNT = 2_000_000_000
_SPACES = re.compile(r"(?<=\d)[\s'’](?=\d{3}(?!\d))")
_PLAIN = re.compile(r"^\d+(?:\.\d+)?$")
_COMMA_DECIMAL = re.compile(r"^\d+,\d+$")
_ONE_MARK = re.compile(r"^([1-9]\d{0,2})([.,])(\d{3})$")
_COMMA_GROUPS = re.compile(r"^\d{1,3}(?:,\d{3})+(\.\d+)?$")
_DOT_GROUPS = re.compile(r"^\d{1,3}(?:\.\d{3})+(,\d+)?$")
_CLOCKED = re.compile(r"^(\d+) ?(?::|H) ?(\d{2})(?::(\d{2}))? ?(?:M|MIN)?$")
_HOUR_WORD = re.compile(r"(?<=\d) ?(?:H|HR|HRS|HOURS|FH)$")


def minutes_of(cell: object) -> int | CellProblem | None:
    """This will read hours (``12 345:30``, ``12345.5``, a duration) as minutes; None for blank."""
    match cell:
        case dt.timedelta():
            return _bounded_minutes(round(cell.total_seconds() / 60), cell)
        case dt.time():
            return cell.hour * 60 + cell.minute + round(cell.second / 60)
        case str() if not isinstance(cell, CellError):
            text = _tidy(cell)
            if not text:
                return None
            if clocked := _CLOCKED.match(
                text.replace(",", "") if _COMMA_GROUPS.match(text.split(":")[0]) else text
            ):
                return _of_clocked(clocked, cell)
            number: Decimal | CellProblem | None = _number_of_text(
                _HOUR_WORD.sub("", text), cell, "hours"
            )
        case _:
            number = _number_of(cell, "hours")
    if not isinstance(number, Decimal):
        return number
    return (
        _bounded_minutes(int((number * 60).to_integral_value(rounding="ROUND_HALF_UP")), cell)
        if number <= MOST_HOURS
        else _too_large(cell)
    )


def count_of(cell: object) -> int | CellProblem | None:
    """This will read a whole number that is not negative; None for a blank cell."""
    if isinstance(cell, str) and not isinstance(cell, CellError):
        text = _tidy(cell)
        # a count has no decimals, so a comma can only set thousands apart
        number = (
            _number_of_text(
                text.replace(",", "") if _COMMA_GROUPS.match(text) else text, cell, "a count"
            )
            if text
            else None
        )
    else:
        number = _number_of(cell, "a count")
    if not isinstance(number, Decimal):
        return number
    if number != number.to_integral_value():
        return CellProblem(
            "not_whole", f"'{shown(cell)}' is not a whole number.", "Write a whole number."
        )
    return int(number) if number <= MOST_COUNT else _too_large(cell)


def number_of(cell: object, may_be_negative: bool = False) -> Decimal | CellProblem | None:
    """This will read a number with decimals; None for a blank cell."""
    if isinstance(cell, str) and not isinstance(cell, CellError):
        text = _tidy(cell)
        is_negative = may_be_negative and text[:1] in {"-", "\u2212"}
        number = (
            _number_of_text(text[1:] if is_negative else text, cell, "a number") if text else None
        )
        number = -number if is_negative and isinstance(number, Decimal) else number
    else:
        number = _number_of(cell, "a number", may_be_negative)
    if isinstance(number, Decimal) and abs(number) > MOST_COUNT:
        return _too_large(cell)
    return number


def _tidy(cell: str) -> str:
    text = " ".join(cell.split()).lstrip("'").upper()
    return _SPACES.sub("", text)


def _unreadable(cell: object, what: str) -> CellProblem:
    example = "12345:30 or 12345.5" if what == "hours" else "12345"
    return CellProblem(
        "not_a_number", f"'{shown(cell)}' cannot be read as {what}.", f"Write it as {example}."
    )


def _too_large(cell: object) -> CellProblem:
    return CellProblem(
        "too_large",
        f"'{shown(cell)}' is larger than anything that is counted here.",
        "Check the number.",
    )


def _bounded_minutes(minutes: int, cell: object) -> int | CellProblem:
    if minutes < 0:
        return CellProblem(
            "negative", f"'{shown(cell)}' is negative.", "Write a total, which is never negative."
        )
    return minutes if minutes <= MOST_HOURS * 60 else _too_large(cell)


def _of_clocked(found: re.Match[str], cell: object) -> int | CellProblem:
    hours, minutes, seconds = found[1], int(found[2]), int(found[3] or 0)
    if minutes > 59 or seconds > 59:
        return CellProblem(
            "not_minutes",
            f"'{shown(cell)}' has more than 59 minutes after the colon.",
            "Write hours and minutes as 12345:30.",
        )
    return (
        _bounded_minutes(int(hours) * 60 + minutes + (seconds >= 30), cell)
        if len(hours) <= 9
        else _too_large(cell)
    )


def _number_of(
    cell: object, what: str, may_be_negative: bool = False
) -> Decimal | CellProblem | None:
    match cell:
        case None:
            return None
        case CellError():
            would_do = "Mend the formula or type the number."
            return CellProblem("formula_error", f"The formula gives {cell}.", would_do)
        case dt.date() | MonthCell() | dt.time() | dt.timedelta():
            return _of_date(cell, what)
        case int() | float() if not isinstance(cell, bool) and math.isfinite(cell):
            if cell < 0 and not may_be_negative:
                return _negative(cell)
            return Decimal(repr(cell)) if abs(cell) < 1e15 else _too_large(cell)
    return _unreadable(cell, what)


def _negative(cell: object) -> CellProblem:
    return CellProblem(
        "negative", f"'{shown(cell)}' is negative.", "Write a number that is not negative."
    )


def _of_date(cell: object, what: str) -> CellProblem:
    if what == "hours" and isinstance(cell, dt.datetime) and cell.year < 1950:
        hours = round((cell - _DAY_ZERO).total_seconds() / 60)
        return CellProblem(
            "date_for_hours",
            f"The cell is formatted as a date or time of day; it shows {cell:%H:%M} and may mean {hours_words(hours)} hours.",
            "Format it as [h]:mm, or write the hours as 12345:30.",
        )
    return CellProblem(
        "date_for_a_number",
        f"The cell holds a date or time ({shown(cell)}), and {what} is needed.",
        "Format the cell as a number and type it again.",
    )


def _number_of_text(text: str, cell: object, what: str) -> Decimal | CellProblem:
    if len(text) > 30:
        return _unreadable(cell, what)
    if text[:1] in {"-", "\u2212"} and _PLAIN.match(text[1:]):
        return _negative(cell)
    if found := _ONE_MARK.match(text):
        whole, decimal = found[1] + found[3], f"{found[1]}.{found[3]}"
        return CellProblem(
            "ambiguous_number",
            f"'{text}' can be read as {whole} or as {decimal}.",
            f"Write {whole} without a mark, or {decimal}0 with another digit.",
        )
    if _COMMA_GROUPS.match(text):
        text = text.replace(",", "")
    elif _COMMA_DECIMAL.match(text):
        text = text.replace(",", ".")
    elif not _PLAIN.match(text) and _DOT_GROUPS.match(text):
        text = text.replace(".", "").replace(",", ".")
    return Decimal(text) if _PLAIN.match(text) else _unreadable(cell, what)
