"""A list as a file: one set of rows as paper, as a workbook with real dates and numbers, or as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

import xlsxwriter

from fleet.words.said import MINUS, count_words, day_words, hours_words

from .paper import Paper, Part, pdf_of

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
INVENTED = "Invented demonstration data. The operator's approved data governs."
CAUTION = (
    "This list supports licensed staff and replaces none of them. The operator's approved data governs: where"
    " this page and that data differ, the data is right."
)
FORMS = ("pdf", "xlsx", "csv")
#: What a spreadsheet would take for a formula.
FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Minutes:
    """Hours and minutes: ``12345:30`` in words, a number of hours in a workbook."""

    minutes: int

    def __str__(self) -> str:
        whole, rest = divmod(abs(self.minutes), 60)
        return f"{MINUS if self.minutes < 0 else ''}{whole}:{rest:02d}"


Cell = str | int | float | date | datetime | Minutes | None


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, and what share of a page's width it takes; 0: on paper it is left out."""

    heading: str
    share: float = 1


@dataclass(frozen=True, slots=True)
class Listing:
    """A list: its title, as of when, its columns and every row. ``address`` opens the live page; ``group`` names
    the column whose values part the paper, if one does."""

    title: str
    as_of: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[Cell]]
    address: str
    name: str
    facts: Sequence[tuple[str, str]] = ()
    notes: Sequence[str] = ()
    is_wide: bool = False


def paper_of(listing: Listing, *, printed: str, is_demonstration: bool) -> Paper:
    """The list on paper: every row, the columns that a page has room for."""
    shown = [at for at, column in enumerate(listing.columns) if column.share]
    rows = [[words_of(row[at]) for at in shown] for row in listing.rows]
    columns = [listing.columns[at] for at in shown]
    count = count_words(len(rows))
    return Paper(
        title=listing.title,
        state=f"{listing.as_of}. {count} row{'' if len(rows) == 1 else 's'}.",
        facts=listing.facts,
        parts=[
            Part(
                "All rows",
                tuple(each.heading for each in columns),
                tuple(each.share for each in columns),
                rows,
            )
        ],
        notes=[*listing.notes, CAUTION],
        address=listing.address,
        is_demonstration=is_demonstration,
        printed=printed,
        is_wide=listing.is_wide,
    )


def words_of(cell: Cell) -> str:
    """A cell as people read it."""
    if cell is None:
        return ""
    if isinstance(cell, Minutes):
        return hours_words(cell.minutes)
    if isinstance(cell, datetime):
        return f"{day_words(cell.date())} {cell:%H:%M}"
    if isinstance(cell, date):
        return day_words(cell)
    return count_words(cell) if isinstance(cell, int) else str(cell)


def file_of(listing: Listing, form: str, *, printed: str, is_demonstration: bool) -> bytes:
    """The list as a file of one of ``FORMS``."""
    if form == "pdf":
        return pdf_of(paper_of(listing, printed=printed, is_demonstration=is_demonstration))
    columns = [each.heading for each in listing.columns]
    if form == "csv":
        return "".join(csv_of(columns, listing.rows)).encode()
    about = [f"{listing.title}. {listing.as_of}.", printed, listing.address]
    about += [f"{label}: {value}" for label, value in listing.facts]
    about += [*listing.notes, INVENTED if is_demonstration else CAUTION]
    return xlsx_of(columns, listing.rows, (listing.name[:31], *about), invented=False)


# --- csv ------------------------------------------------------------------------------------------


def csv_of(columns: Sequence[str], lines: Iterable[Sequence[Cell]]) -> Iterator[str]:
    """Lines of a CSV file (RFC 4180; UTF-8 with a mark, so that spreadsheets read it right)."""
    out = io.StringIO()
    writer = csv.writer(out)
    out.write("\ufeff")
    writer.writerow(columns)
    for line in lines:
        writer.writerow([plain_of(cell) for cell in line])
        if out.tell() > 32_000:
            yield out.getvalue()
            out.seek(0)
            out.truncate()
    yield out.getvalue()


def plain_of(cell: Cell) -> str:
    """ISO dates; a text that a spreadsheet would take for a formula is kept a text."""
    if isinstance(cell, str):
        return "'" + cell if cell[:1] in FORMULA else cell
    return cell.isoformat() if isinstance(cell, date) else "" if cell is None else str(cell)


# --- workbooks ------------------------------------------------------------------------------------


def xlsx_of(
    columns: Sequence[str],
    lines: Iterable[Sequence[Cell]],
    what: Sequence[str],
    invented: bool,
) -> bytes:
    """A workbook: the list on its first sheet, what it is on the second. ``what``: the first sheet's name,
    and lines that say more."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True, "strings_to_formulas": False})
    bold = book.add_format({"bold": True, "bottom": 1})
    formats = {
        "day": book.add_format({"num_format": "d mmm yyyy"}),
        "moment": book.add_format({"num_format": "d mmm yyyy hh:mm"}),
        "hours": book.add_format({"num_format": "#,##0.00"}),
    }
    sheet = book.add_worksheet(what[0])
    sheet.write_row(0, 0, columns, bold)
    last = 0
    for last, line in enumerate(lines, start=1):
        _write(sheet, last, line, formats)
    sheet.freeze_panes(1, 2)
    sheet.autofilter(0, 0, last, len(columns) - 1)
    sheet.set_column(0, len(columns) - 1, 16)
    about = book.add_worksheet("About")
    for at, line in enumerate([*what[1:], INVENTED if invented else ""]):
        about.write_string(at, 0, line)
    book.close()
    return held.getvalue()


def _write(
    sheet: xlsxwriter.worksheet.Worksheet,
    at: int,
    values: Sequence[Cell],
    formats: dict[str, object],
) -> None:
    for column, value in enumerate(values):
        if isinstance(value, datetime):
            sheet.write_datetime(at, column, value.replace(tzinfo=None), formats["moment"])
        elif isinstance(value, date):
            sheet.write_datetime(at, column, value, formats["day"])
        elif isinstance(value, Minutes):
            sheet.write_number(at, column, value.minutes / 60, formats["hours"])
        elif isinstance(value, str):
            sheet.write_string(at, column, value)
        elif value is not None:
            sheet.write_number(at, column, value)
