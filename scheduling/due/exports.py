"""The due list as a file: the columns and words of the screen, as CSV or as a workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

import xlsxwriter

from fleet.drawing.states import state_of
from fleet.words.said import MINUS, day_words
from scheduling.due.lists.rows import DueRow

Cell = str | int | float | date | None
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
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
INVENTED = "Invented demonstration data. The operator's approved data governs."


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


def _hours(minutes: int | None) -> str | None:
    if minutes is None:
        return None
    whole, rest = divmod(abs(minutes), 60)
    return f"{MINUS if minutes < 0 else ''}{whole}:{rest:02d}"


def as_csv(rows: Iterable[DueRow]) -> Iterator[str]:
    """The due list as lines of a CSV file."""
    return csv_of(COLUMNS, map(cells, rows))


def csv_of(columns: Sequence[str], lines: Iterable[Sequence[Cell]]) -> Iterator[str]:
    """Lines of a CSV file (UTF-8 with a mark, so that spreadsheets read it right)."""
    out = io.StringIO()
    writer = csv.writer(out)
    out.write("\ufeff")
    writer.writerow(columns)
    for line in lines:
        writer.writerow([_plain(cell) for cell in line])
        if out.tell() > 32_000:
            yield out.getvalue()
            out.seek(0)
            out.truncate()
    yield out.getvalue()


def _plain(cell: Cell) -> str:
    """ISO dates; a text that a spreadsheet would take for a formula is kept a text."""
    if isinstance(cell, str):
        return "'" + cell if cell[:1] in {"=", "+", "-", "@", "\t"} else cell
    return cell.isoformat() if isinstance(cell, date) else "" if cell is None else str(cell)


def as_xlsx(rows: Iterable[DueRow], as_of: date, invented: bool) -> bytes:
    """The due list as a workbook."""
    what = ("Due list", f"Due list as of {day_words(as_of)}")
    return xlsx_of(COLUMNS, map(cells, rows), what, invented)


def xlsx_of(
    columns: Sequence[str], lines: Iterable[Sequence[Cell]], what: tuple[str, str], invented: bool
) -> bytes:
    """A workbook: the list on its first sheet, what it is on the second. ``what``: the first sheet's name,
    and a line that says more."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True, "strings_to_formulas": False})
    bold = book.add_format({"bold": True, "bottom": 1})
    day = book.add_format({"num_format": "d mmm yyyy"})
    sheet = book.add_worksheet(what[0])
    sheet.write_row(0, 0, columns, bold)
    last = 0
    for last, line in enumerate(lines, start=1):
        _write(sheet, last, line, day)
    sheet.freeze_panes(1, 2)
    sheet.autofilter(0, 0, last, len(columns) - 1)
    sheet.set_column(0, len(columns) - 1, 16)
    about = book.add_worksheet("About")
    about.write_column(0, 0, [what[1], INVENTED if invented else ""])
    book.close()
    return held.getvalue()


def _write(
    sheet: xlsxwriter.worksheet.Worksheet, at: int, values: Sequence[Cell], day: object
) -> None:
    for column, value in enumerate(values):
        if isinstance(value, date):
            sheet.write_datetime(at, column, value, day)
        elif isinstance(value, str):
            sheet.write_string(at, column, value)
        elif value is not None:
            sheet.write_number(at, column, value)
