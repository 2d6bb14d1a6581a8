"""One cell put into what its line tells, as its column says."""

from __future__ import annotations

import re
from collections.abc import Callable

from .reading.proposing import Column
from .unit import Count, Seen
from .words.counts import count_in, is_of_aircraft, pieces_in
from .words.days import ASK, date_alone, day_in, is_year
from .words.heads import COUNTED, DONE, INTERVAL, UNIT_TOTALS
from .words.marks import lines_in, mark_of, text_in


def put_cell(one: Seen, column: Column, cell: object, work: str) -> None:
    """What a cell tells, where its column says that it belongs."""
    way = "" if column.way == ASK else column.way
    if ":" in column.role:
        if work:
            _put_of_work(one, column, cell, work, way)
    elif column.role in {"made", "fitted"}:
        is_age = column.role == "made" and is_year(cell)
        setattr(one, column.role, day_in(text_in(cell) if is_age else cell, way))
    else:
        _put_plain(one, column, cell)


def _put_plain(one: Seen, column: Column, cell: object) -> None:
    """A total, a note or a text; a mark such as N/A is no total and no note."""
    if column.role in {*UNIT_TOTALS, "hours", "cycles"}:
        if mark_of(cell) is None:
            one.totals[column.role] = cell
    elif column.role == "note":
        if mark_of(cell) is None:
            one.notes += (f"{column.head}: {text_in(cell)}",)
    elif column.role in _STAMPED:
        if mark_of(cell) is None:
            one.stamped[column.role] = (column.head, text_in(cell))
    elif column.role in _KEPT:
        _KEPT[column.role](one, cell)


def _put_of_work(one: Seen, column: Column, cell: object, work: str, way: str) -> None:
    """A date, an interval, or hours and cycles of a work; an interval may say several (``36 MO / 3000 FH``)."""
    aspect = column.aspect
    if aspect in COUNTED:
        if mark_of(cell) is None:
            one.counts[aspect, work] = Count(cell, is_of_aircraft(column.head))
        return
    pieces = _SEVERAL.split(text_in(cell)) if aspect == INTERVAL else pieces_in(str(cell))
    dates = []
    for piece in pieces if isinstance(cell, str) else ():
        measure, number = count_in(piece)
        if measure:
            one.counts[f"{aspect}-{measure}", work] = Count(number, is_of_aircraft(column.head))
        else:
            dates.append(piece)
    date = cell if len(dates) == len(pieces) or not isinstance(cell, str) else " ".join(dates)
    if aspect == INTERVAL:
        one.interval.setdefault(work, text_in(dates[0] if dates else date))
    elif text_in(date):
        if isinstance(date, str) and "(" in date and date_alone(date) != date:
            one.notes += (f"{column.head}: {text_in(date)}",)  # 12 Mar 2027 (C-check)
        (one.done if aspect == DONE else one.next)[work] = day_in(date, way)


_STAMPED = frozenset({"spec", "service", "proof", "stamp_marks", "requalifier"})
_SEVERAL = re.compile(r"\s*(?:/|;|&|\bOR\b|\bAND\b|\+)\s*", re.IGNORECASE)


def _put_text(name: str) -> Callable[[Seen, object], None]:
    def put(one: Seen, cell: object) -> None:
        setattr(
            one,
            name,
            str(cell) if name in {"serial", "place"} and "\n" in str(cell) else text_in(cell),
        )

    return put


def _put_both(one: Seen, cell: object) -> None:
    """Part and serial number in one cell, on two lines or set apart by a word or a stroke."""
    parts = lines_in(cell)
    if len(parts) == 1:
        parts = re.split(
            r"\s*(?:S/?N:?|SER(?:IAL)?\.?:?|/|;|,)\s*", parts[0], maxsplit=1, flags=re.IGNORECASE
        )
    clean = [re.sub(r"^(P/?N|S/?N):?\s*", "", part, flags=re.IGNORECASE).strip() for part in parts]
    clean = [part for part in clean if part]
    if len(clean) == 2:
        one.part, one.serial = clean
    elif clean:
        one.serial = clean[0]


def _put_remarks(one: Seen, cell: object) -> None:
    one.remarks = f"{one.remarks} {text_in(cell)}".strip()


_KEPT: dict[str, Callable[[Seen, object], None]] = {
    **{
        name: _put_text(name)
        for name in ("type", "msn", "item", "part", "serial", "maker", "station", "quantity")
    },
    "aircraft": _put_text("aircraft"),
    "position": _put_text("place"),
    "part_serial": _put_both,
    "remarks": _put_remarks,
}
