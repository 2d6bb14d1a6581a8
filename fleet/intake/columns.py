"""A whole column at once: each distinct cell is read one time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from .dates import Stamp, stamp_of
from .numbers import count_of, minutes_of, number_of
from .problems import CellProblem, shown
from .words import PLAIN_CODE, PLAIN_CODES, choice_of, code_of, list_of, text_of, yes_or_no

TEXT, CODE, SERIAL, CHOICE, LIST, YES_NO = "text", "code", "serial", "choice", "list", "yes_no"
DAY, STAMP, INSTANT = "day", "stamp", "instant"
HOURS, COUNT, NUMBER, SIGNED, TOTAL = "hours", "count", "number", "signed", "total"

#: What each kind of value is, in words for the template's first sheet.
IN_WORDS = {
    TEXT: "text",
    CODE: "a code; case and outer spaces do not matter",
    SERIAL: "a serial number; case and outer spaces do not matter",
    CHOICE: "one of the words listed",
    LIST: "codes set apart by commas",
    YES_NO: "yes or no",
    DAY: "a date: 2026-11-25, 25 Nov 2026 or a date cell",
    STAMP: "a date, or a month alone: 2021-02, 02/2021, FEB 21",
    INSTANT: "a date, with the time if known: 2026-11-25 14:30",
    HOURS: "hours: 12345:30 or 12345.5",
    COUNT: "a whole number",
    NUMBER: "a number",
    SIGNED: "a number, may be negative",
    TOTAL: "hours as 12345:30, or a whole number, as the measure is counted",
}


@dataclass(slots=True)
class ReadColumn:
    """The values of a column in order, None where blank or bad, and the problems by index."""

    values: list[Any]
    problems: dict[int, CellProblem] = field(default_factory=dict)


def read_column(
    cells: Sequence[object],
    kind: str,
    *,
    choices: Mapping[str, str] | None = None,
    most: int = 200,
    ways: str = "",
) -> ReadColumn:
    """This will read every cell of a column as ``kind``; it never raises for what a cell holds."""
    types = set(map(type, cells))
    is_code = kind in {CODE, SERIAL}
    if is_code and types == {str} and _are_plain_codes(cells, most):
        return ReadColumn(list(cells))
    if bool in types:  # True and 1 are one key of a dict, but two cells
        cells = ["TRUE" if c is True else "FALSE" if c is False else c for c in cells]
    reader = _reader_of(kind, choices, most, ways)
    answers: dict[object, Any] = {"": None, None: None}
    plain = PLAIN_CODE.fullmatch
    for cell in dict.fromkeys(cells):
        if is_code and type(cell) is str and plain(cell) and len(cell) <= most:
            answers[cell] = cell
        elif cell != "":
            answers[cell] = reader(cell)
    values = list(map(answers.__getitem__, cells))
    if not any(isinstance(answer, CellProblem) for answer in answers.values()):
        return ReadColumn(values)
    problems = {i: v for i, v in enumerate(values) if isinstance(v, CellProblem)}
    for i in problems:
        values[i] = None
    return ReadColumn(values, problems)


def _are_plain_codes(cells: Sequence[Any], most: int) -> bool:
    """Whether each cell is a code as it is kept: asked of all at once, as serial numbers all differ."""
    lines = "\n".join((*cells, ""))
    has_one_each = lines.count("\n") == len(cells) and max(map(len, cells)) <= most
    return has_one_each and bool(PLAIN_CODES.fullmatch(lines))


def _reader_of(
    kind: str, choices: Mapping[str, str] | None, most: int, ways: str
) -> Callable[[object], Any]:
    readers: dict[str, Callable[[object], Any]] = {
        TEXT: partial(text_of, most=most),
        CODE: partial(code_of, most=most),
        SERIAL: partial(code_of, most=most),
        CHOICE: partial(choice_of, choices=choices or {}),
        LIST: list_of,
        YES_NO: yes_or_no,
        DAY: partial(_day_of, ways=ways),
        STAMP: partial(_stamp_without_time, ways=ways),
        INSTANT: partial(_instant_of, ways=ways),
        HOURS: minutes_of,
        COUNT: count_of,
        NUMBER: number_of,
        SIGNED: partial(number_of, may_be_negative=True),
        TOTAL: lambda cell: cell,  # read when the measure is known
    }
    return readers[kind]


def _day_of(cell: object, ways: str) -> dt.date | CellProblem | None:
    stamp = stamp_of(cell, ways)
    if not isinstance(stamp, Stamp):
        return stamp
    if stamp.precision in {"day", "instant"}:
        return stamp.on
    return CellProblem(
        "day_missing",
        f"'{shown(_plain(cell))}' names no day, and a day is needed here.",
        "Write it as 2026-11-25.",
    )


def _stamp_without_time(cell: object, ways: str) -> Stamp | CellProblem | None:
    stamp = stamp_of(cell, ways)
    return (
        Stamp(stamp.on, "day")
        if isinstance(stamp, Stamp) and stamp.precision == "instant"
        else stamp
    )


def _instant_of(cell: object, ways: str) -> Stamp | CellProblem | None:
    return stamp_of(cell, ways)


def _plain(cell: object) -> object:
    return f"{cell.on:%Y-%m}" if isinstance(cell, tuple) and hasattr(cell, "on") else cell
