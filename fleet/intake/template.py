"""Workbooks to hand out: the template with its worked example, and refused lines to work off."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from io import BytesIO
from typing import Any

import xlsxwriter

from .columns import IN_WORDS
from .registry import WHY_REFUSED, SheetKind, kind_named, kinds
from .words import folded

_HOW = (
    "One sheet for each kind of fact; leave out the sheets that you do not need. The lines in each sheet are a worked",
    "example that loads as it stands: replace them by your own. Headings may stand in any order and in any row near",
    "the top; case and spaces do not matter; columns that are not known are named and not read.",
    "Dates: 2026-11-25, 25 Nov 2026, 25/11/2026 or date cells. A date that can be read two ways, such as 03/04/2026, is",
    "refused with both readings, unless you say on the upload page that slashed dates are day first.",
    "Months as stamped: 2021-02, 02/2021, FEB 21. Hours: 12345:30 or 12345.5. Blank means: nothing said.",
    "The same file twice changes nothing. Refused lines come back with their reasons, to mend and bring again.",
)


def template(only: Iterable[SheetKind] | None = None) -> bytes:
    """The template: what each column means on the first sheet, then each kind with its example."""
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer, {"in_memory": True}) as book:
        shapes = _Shapes(book)
        listed = list(only) if only is not None else kinds()
        _read_me(book.add_worksheet("Read me"), listed, shapes)
        for kind in listed:
            sheet = book.add_worksheet(kind.name)
            headings = [column.name for column in kind.columns]
            needed = [column.needed for column in kind.columns]
            _lines(sheet, headings, kind.example, shapes, needed)
    return buffer.getvalue()


def refused_workbook(sheets: Mapping[str, Sequence[Mapping[str, Any]]]) -> bytes:
    """Refused lines by sheet, each a mapping of heading to cell; ``Why refused`` stands first, the
    columns of its kind in their order follow, and then whatever else was brought.

    Mended, the workbook can be brought as it is: that first column is not read.
    """
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer, {"in_memory": True}) as book:
        shapes = _Shapes(book)
        for name, lines in sheets.items():
            headings = _in_order(name, list(dict.fromkeys(word for line in lines for word in line)))
            rows = [[line.get(heading, "") for heading in headings] for line in lines]
            _lines(book.add_worksheet(name[:31]), headings, rows, shapes, [False] * len(headings))
        if not sheets:
            book.add_worksheet("Read me").write_string(0, 0, "No line was refused.")
    return buffer.getvalue()


def _in_order(sheet: str, brought: list[str]) -> list[str]:
    """The headings as they were brought, where the sheet's kind has them; its other columns too."""
    kind = kind_named(sheet)
    own = {folded(heading): heading for heading in brought if heading != WHY_REFUSED}
    ordered = []
    for column in kind.columns if kind else ():
        named = next(
            (own.pop(word) for word in sorted(column.headings) if word in own), column.name
        )
        ordered.append(named)
    return [WHY_REFUSED, *ordered, *own.values()]


class _Shapes:
    """The few formats that the workbooks use."""

    def __init__(self, book: Any) -> None:
        self.title = book.add_format({"bold": True, "font_size": 14})
        self.heading = book.add_format(
            {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}
        )
        self.needed = book.add_format(
            {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top", "bg_color": "#E8E4D8"}
        )
        self.text = book.add_format({"num_format": "@"})
        self.wrapped = book.add_format({"text_wrap": True, "valign": "top"})
        self.day = book.add_format({"num_format": "yyyy-mm-dd"})


def _read_me(sheet: Any, listed: Sequence[SheetKind], shapes: _Shapes) -> None:
    sheet.set_column(0, 0, 26)
    sheet.set_column(1, 1, 28)
    sheet.set_column(2, 2, 9)
    sheet.set_column(3, 4, 60)
    sheet.write_string(0, 0, "What each sheet and column means", shapes.title)
    for row, sentence in enumerate(_HOW, 2):
        sheet.write_string(row, 0, sentence)
    row = len(_HOW) + 3
    for place, heading in enumerate(
        ("Sheet", "Column", "Needed", "What it holds", "How it is written")
    ):
        sheet.write_string(row, place, heading, shapes.heading)
    for kind in listed:
        row += 1
        sheet.write_string(row, 0, kind.name, shapes.heading)
        sheet.write_string(row, 3, kind.purpose, shapes.wrapped)
        for column in kind.columns:
            row += 1
            choices = f": {'; '.join(column.choices.values())}" if column.choices else ""
            sheet.write_string(row, 0, kind.name)
            sheet.write_string(row, 1, column.name)
            sheet.write_string(row, 2, "yes" if column.needed else "")
            sheet.write_string(row, 3, column.meaning, shapes.wrapped)
            sheet.write_string(row, 4, f"{IN_WORDS[column.kind]}{choices}", shapes.wrapped)


def _lines(
    sheet: Any,
    headings: Sequence[str],
    rows: Sequence[Sequence[object]],
    shapes: _Shapes,
    needed: Sequence[bool],
) -> None:
    for column, heading in enumerate(headings):
        sheet.write_string(0, column, heading, shapes.needed if needed[column] else shapes.heading)
        sheet.set_column(column, column, max(12, min(40, len(heading) + 4)))
    sheet.freeze_panes(1, 0)
    for row, cells in enumerate(rows, 1):
        for column, cell in enumerate(cells):
            if cell is None or cell == "":
                continue
            if isinstance(cell, dt.date):
                sheet.write_datetime(row, column, cell, shapes.day)
            elif isinstance(cell, int | float) and not isinstance(cell, bool):
                sheet.write_number(row, column, cell)
            else:
                sheet.write_string(row, column, str(cell), shapes.text)
