"""The due list as a file: the columns and words of the screen, as CSV or as a workbook."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from equipment.common.listing import (
    INVENTED,
    XLSX,
    Cell,
    Column,
    Listing,
    Minutes,
    csv_of,
    xlsx_of,
)
from fleet.drawing.states import state_of
from fleet.words.said import day_words
from scheduling.due.lists.rows import DueRow

__all__ = [
    "COLUMNS",
    "INVENTED",
    "XLSX",
    "as_csv",
    "as_xlsx",
    "cells",
    "csv_of",
    "due_listing",
    "xlsx_of",
]
COLUMNS = (
    "Band",
    "Aircraft",
    "Station",
    "Position",
    "Inside",
    "Part number",
    "Serial number",
    "Description",
    "Work",
    "Limit",
    "Comes off part number",
    "Comes off serial number",
    "Due on",
    "Variation until",
    "Projected",
    "Due at hours",
    "Due at cycles",
    "Own measure",
    "Due at own measure",
    "Decided by",
    "Days remaining",
    "Hours remaining",
    "Cycles remaining",
    "Own measure remaining",
    "Check",
    "Check starts",
    "Worst date",
    "Missing",
    "Notes",
    "Maker",
)


def cells(row: DueRow) -> list[Cell]:
    """One row, in the order of ``COLUMNS``. Hours as 12345:30, dates as dates."""
    return [
        row.by_days or state_of(row.band).word,
        row.registration,
        row.station,
        row.position,
        row.inside,
        row.part_number,
        row.serial_number,
        row.description,
        row.work,
        row.limit,
        row.line_part_number,
        row.line_serial_number,
        row.due_on,
        row.until_on if row.until_on != row.due_on else None,
        "yes" if row.is_projected else "",
        _hours(row.due_at_minutes),
        row.due_at_cycles,
        row.other_measure,
        _own(row, row.due_at_other),
        row.decided_by,
        row.left_days,
        _hours(row.left_minutes),
        row.left_cycles,
        _own(row, row.left_other),
        row.check_name,
        row.check_starts_on,
        row.worst_on,
        "; ".join(row.missing),
        "; ".join(row.notes),
        row.maker,
    ]


def _own(row: DueRow, value: int | None) -> Cell:
    """A total of the unit's own measure."""
    return _hours(value) if row.other_is_hours else value


def _hours(minutes: int | None) -> Minutes | None:
    return None if minutes is None else Minutes(minutes)


def as_csv(rows: Iterable[DueRow]) -> Iterator[str]:
    """The due list as lines of a CSV file."""
    return csv_of(COLUMNS, map(cells, rows))


def as_xlsx(rows: Iterable[DueRow], as_of: date, invented: bool) -> bytes:
    """The due list as a workbook."""
    what = ("Due list", f"Due list as of {day_words(as_of)}")
    return xlsx_of(COLUMNS, map(cells, rows), what, invented)


#: What paper has room for: of each column its share of a wide page's width.
ON_PAPER = {
    "State": 1.2,
    "Aircraft": 1,
    "Position": 1.7,
    "Unit": 2.4,
    "Work, limit": 2.4,
    "Last day": 1.2,
    "Variation until": 1.2,
    "Left": 1.8,
    "Check": 1.4,
    "What is said": 3,
}


def due_listing(
    rows: Sequence[DueRow], as_of: date, address: str, asked: str, name: str = "due-list"
) -> Listing:
    """The due list on paper: every row of it, as it was asked for."""
    return Listing(
        title="Due list",
        as_of=f"As of {day_words(as_of)}",
        columns=[Column(heading, share) for heading, share in ON_PAPER.items()],
        rows=[_on_paper(row) for row in rows],
        address=address,
        name=f"{name}-{as_of:%Y-%m-%d}",
        facts=[("Asked for", asked or "the whole fleet")],
        is_wide=True,
    )


def _on_paper(row: DueRow) -> list[Cell]:
    unit = f"{row.part_number} S/N {row.serial_number}" if row.part_number else ""
    off = (
        f"\n{row.line_part_number} S/N {row.line_serial_number} comes off"
        if row.line_part_number
        else ""
    )
    left = [
        f"{row.left_days} days" if row.left_days is not None else "",
        f"{Minutes(row.left_minutes)} h" if row.left_minutes is not None else "",
        f"{row.left_cycles} cycles" if row.left_cycles is not None else "",
        f"{_own(row, row.left_other)} {row.other_measure}" if row.left_other is not None else "",
    ]
    missing = [f"not recorded: {', '.join(row.missing)}"] if row.missing else []
    return [
        state_of(row.band).word,
        row.registration or row.station,
        f"{row.position} {row.inside}".strip(),
        f"{unit}{off}",
        f"{row.work}\n{row.limit}",
        row.due_on,
        row.until_on if row.until_on != row.due_on else None,
        "\n".join(word for word in left if word),
        row.check_name,
        "; ".join([*missing, *row.notes]),
    ]
