"""Months across, with hours and cycles beneath: totals of aircraft at the ends of months."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from fleet.intake.dates import stamp_of
from fleet.intake.stamps import MonthCell, Stamp
from fleet.own_sheets.words.counts import amount_of, amount_words
from fleet.own_sheets.words.crafts import registration_in
from fleet.own_sheets.words.marks import bare, is_number, text_in
from fleet.own_sheets.words.tongues import months_in_english

HOURS, CYCLES = "hours", "cycles"
_WHAT = {
    HOURS: re.compile(r"\b(FH|HRS|HOURS|H|TTAF|TAT|TSN)\b"),
    CYCLES: re.compile(r"\b(FC|CYC|CYCS|CYCLES|C|LDG|LDGS|LANDINGS|CSN|TAC)\b"),
}


@dataclass(slots=True)
class GridReading:
    """One total: which cell, of which aircraft, hours or cycles, at the end of which month."""

    row: int
    column: int
    aircraft: str
    what: str
    on: dt.date
    cell: object


@dataclass(slots=True)
class Grid:
    """A grid of months: its heading rows and its totals. ``is_use`` where it holds each month's use
    instead of totals, and no total beside them from which they could be counted."""

    headings: list[int]
    readings: list[GridReading] = field(default_factory=list)
    is_use: bool = False
    #: Rows whose months do not add up to the total beside them, each with a sentence.
    disagree: dict[int, str] = field(default_factory=dict)

    @property
    def lines(self) -> list[int]:
        return sorted({reading.row for reading in self.readings})


#: A row of all aircraft together, or of none: FLEET TOTAL, AVERAGE. TOTAL FH below an aircraft is its own.
_IS_OF_ALL = re.compile(
    r"\b(FLEET|FLOTTE|FLOTA|FROTA|FLOTTA|ALL|AVERAGE|AVG|GRAND)\b|^(TOTALS?|TOTALE|GESAMT|SUMME?|SOMA)$"
)


def grid_of(rows: Sequence[Sequence[object]], day: dt.date, named: str = "") -> Grid | None:
    """The grid of a sheet, or None. ``named`` is the aircraft of a sheet without a column for it."""
    at, months = _months(rows)
    if len(months) < 3:
        return _months_down(rows, day)
    below = [text_in(cell) for cell in rows[at + 1]] if at + 1 < len(rows) else []
    whats = {j: what for j, text in enumerate(below) if (what := _what(text))}
    is_in_two = len(whats) >= len(months)
    grid = Grid([at, at + 1] if is_in_two else [at])
    reached = _reach(months, whats if is_in_two else {}, max(map(len, rows)))
    aircraft = named
    for i in range(grid.headings[-1] + 1, len(rows)):
        labels = " ".join(text_in(cell) for j, cell in enumerate(rows[i]) if j < min(months))
        above = (
            named if is_in_two else aircraft
        )  # hours and cycles across: a row each, and sums below
        aircraft = registration_in(labels) or ("" if _IS_OF_ALL.search(bare(labels)) else above)
        for j, on in reached.items():
            cell = rows[i][j] if j < len(rows[i]) else None
            what = whats[j] if is_in_two else _what(labels)
            if (
                aircraft
                and what
                and (is_number(cell) or re.fullmatch(r"[\d,]+[:.]?\d*", text_in(cell)))
            ):
                grid.readings.append(GridReading(i, j, aircraft, what, min(on, day), cell))
    grid.is_use = _is_use(grid.readings)
    if grid.is_use and not is_in_two:
        _count_up(grid, rows, at, set(months))
    return grid if grid.readings else None


def _months_down(rows: Sequence[Sequence[object]], day: dt.date) -> Grid | None:
    """Months down the first filled column and aircraft across, hours and cycles beneath each of them."""
    at, tails = _tails_across(rows)
    if len(tails) < 2:
        return None
    below = rows[at + 1] if at + 1 < len(rows) else []
    whats = {j: what for j, cell in enumerate(below) if (what := _what(text_in(cell)))}
    first = min(tails)
    if not whats or min(whats) < first:
        return None
    months = {
        i: on
        for i in range(at + 2, len(rows))
        if (on := next((on for cell in rows[i][:first] if (on := _month(cell))), None))
    }
    if len(months) < 3 or list(months.values()) != sorted(set(months.values())):
        return None
    grid = Grid([at, at + 1])
    of = {j: tails[max(start for start in tails if start <= j)] for j in whats}
    for i, on in months.items():
        for j, what in whats.items():
            cell = rows[i][j] if j < len(rows[i]) else None
            if is_number(cell) or re.fullmatch(r"[\d,]+[:.]?\d*", text_in(cell)):
                grid.readings.append(GridReading(i, j, of[j], what, min(on, day), cell))
    grid.is_use = _is_use(grid.readings)
    return grid if grid.readings else None


def _tails_across(rows: Sequence[Sequence[object]]) -> tuple[int, dict[int, str]]:
    """The row with the most registrations beside each other and nothing else but a label, by column."""
    best: tuple[int, dict[int, str]] = (0, {})
    for i, row in enumerate(rows[:40]):
        found = {j: tail for j, cell in enumerate(row) if (tail := registration_in(text_in(cell)))}
        others = sum(1 for j, cell in enumerate(row) if text_in(cell) and j not in found)
        if len(found) > len(best[1]) and others <= 1 and len(set(found.values())) == len(found):
            best = (i, found)
    return best


_BEFORE = re.compile(
    r"B F|BF|B FWD|BROUGHT F.*|OPENING.*|PREVIOUS.*|(TOTAL )?(AT|ON|AS AT|START).*"
)
_AFTER = re.compile(r"(GRAND )?TOTAL.*|C F|CF|C FWD|CARRIED F.*|TO DATE|CURRENT.*")


def _count_up(grid: Grid, rows: Sequence[Sequence[object]], at: int, months: set[int]) -> None:
    """Each month's use, counted up from the total brought forward or back from the one at the end."""
    heads = {j: bare(text_in(cell)) for j, cell in enumerate(rows[at]) if j not in months}
    before = next((j for j, head in heads.items() if re.match(_BEFORE, head)), None)
    after = next(
        (j for j, head in heads.items() if _AFTER.fullmatch(head) and j > min(months)), None
    )
    if before is None:
        before = next(
            (j for j, head in heads.items() if _AFTER.fullmatch(head) and j < min(months)), None
        )
    counted: list[GridReading] = []
    for i in grid.lines:
        of_row = [each for each in grid.readings if each.row == i]
        measure = HOURS_OR_CYCLES[of_row[0].what]
        used = [amount_of(measure, each.cell) or 0 for each in of_row]
        begun, ended = (_total(rows[i], j, measure) for j in (before, after))
        if ended is not None and ended - sum(used) <= 0:
            ended = None  # the sum of these months
        if begun is None and ended is None:
            continue
        total = begun if begun is not None else (ended or 0) - sum(used)
        if begun is not None and ended is not None and abs(begun + sum(used) - ended) >= 60:
            said, sums = (amount_words(measure, n) for n in (ended, begun + sum(used)))
            grid.disagree[i] = f"Its months add up to {sums}, and the total says {said}."
        for each, use in zip(of_row, used, strict=True):
            total += use
            counted.append(replace(each, cell=amount_words(measure, total)))
    if counted:
        grid.readings, grid.is_use = counted, False


#: The measure of hours or cycles, by what a row holds.
HOURS_OR_CYCLES = {HOURS: "fh", CYCLES: "fc"}


def _total(row: Sequence[object], at: int | None, measure: str) -> int | None:
    return amount_of(measure, row[at]) if at is not None and at < len(row) else None


def _what(text: str) -> str:
    return next((what for what, pattern in _WHAT.items() if pattern.search(bare(text))), "")


def _months(rows: Sequence[Sequence[object]]) -> tuple[int, dict[int, dt.date]]:
    """The row with the most months, and the last day of each by its column."""
    best: tuple[int, dict[int, dt.date]] = (0, {})
    for i, row in enumerate(rows[:60]):
        found = {j: on for j, cell in enumerate(row) if (on := _month(cell))}
        others = sum(1 for j, cell in enumerate(row) if text_in(cell) and j not in found)
        rising = list(found.values()) == sorted(set(found.values()))
        if len(found) > len(best[1]) and rising and others <= 4:
            best = (i, found)
    return best


def _month(cell: object) -> dt.date | None:
    if isinstance(cell, MonthCell):
        on = cell.on
    elif isinstance(cell, dt.datetime | dt.date):
        on = cell.date() if isinstance(cell, dt.datetime) else cell
    elif isinstance(cell, str):
        read = stamp_of(months_in_english(cell))
        if not isinstance(read, Stamp) or read.precision != "month":
            return None
        on = read.on
    else:
        return None
    return on.replace(day=calendar.monthrange(on.year, on.month)[1])


def _reach(months: dict[int, dt.date], whats: dict[int, str], width: int) -> dict[int, dt.date]:
    """Which columns a month stands over: its own, and in two rows those until the next month."""
    if not whats:
        return months
    starts = sorted(months)
    return {
        j: months[max(start for start in starts if start <= j)]
        for j in whats
        if j >= starts[0] and j < width
    }


def _is_use(readings: Sequence[GridReading]) -> bool:
    """Whether the numbers are what was flown in a month: they do not grow from month to month."""
    series: dict[tuple[str, str], list[float]] = {}
    for each in readings:
        number = re.sub(r"[^\d.]", "", text_in(each.cell).replace(":", "."))
        series.setdefault((each.aircraft, each.what), []).append(float(number or 0))
    falls = sum(b < a for row in series.values() for a, b in pairwise(row))
    return falls > sum(max(0, len(row) - 1) for row in series.values()) * 0.2
