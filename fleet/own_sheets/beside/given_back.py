"""Workbooks to take away: dates that differ, and the own spreadsheet with its refused lines marked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from io import BytesIO
from typing import Any

import xlsxwriter

from fleet.intake.files import RawSheet
from fleet.intake.registry import WHY_REFUSED
from fleet.intake.stamps import MonthCell
from fleet.intake.workbooks.xlsx import letter_of
from fleet.own_sheets.words.marks import is_number, text_in

from .comparing import ROW_HEADS

_OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}


def differing_dates(beside: Mapping[str, Any]) -> bytes:
    """The comparison: groups by their reason on the first sheet, each date that differs on the second."""
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer, _OPTIONS) as book:
        bold = book.add_format({"bold": True, "bottom": 1})
        groups = book.add_worksheet("By reason")
        groups.write_row(0, 0, ("Dates", "Kind", "Work", "Outcome", "Reason"), bold)
        for i, group in enumerate(beside.get("groups", ()), start=1):
            groups.write_number(i, 0, group["count"])
            for j, name in enumerate(("kind", "work", "outcome", "reason"), start=1):
                groups.write_string(i, j, group[name])
        dates = book.add_worksheet("Dates")
        dates.write_row(0, 0, ROW_HEADS, bold)
        for i, row in enumerate(beside.get("rows", ()), start=1):
            for j, cell in enumerate(row):
                dates.write_string(i, j, cell)
        for sheet in (groups, dates):
            sheet.freeze_panes(1, 0)
            sheet.set_column(0, len(ROW_HEADS) - 1, 18)
    return buffer.getvalue()


#: By row (from 1): the cells that are marked (``C7``), and the reasons.
Reasons = Mapping[int, tuple[set[str], Sequence[str]]]
#: A sheet to give back: its name there, its cells, and what was refused of it.
Given = tuple[str, RawSheet, Reasons]
#: Formats by what a cell is (plain, of a refused line, at fault), and by what it holds.
Shapes = dict[str, dict[str, Any]]
_LINE, _CELL = "#FFE08A", "#FFB380"


def marked(given: Sequence[Given]) -> bytes:
    """Own sheets' cells as they are: refused lines marked, the cells at fault more so and with their reason as a
    note, the reasons in a column at the end."""
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer, _OPTIONS) as book:
        shapes: Shapes = {"why": {"": book.add_format({"bg_color": _LINE, "text_wrap": True})}}
        for sort, more in (
            ("", {}),
            ("line", {"bg_color": _LINE}),
            ("cell", {"bg_color": _CELL, "bold": True, "border": 1}),
        ):
            for form, number in (("", ""), ("day", "d mmm yyyy"), ("month", "mmm yyyy")):
                numbered = {"num_format": number} if number else {}
                shapes.setdefault(sort, {})[form] = book.add_format({**more, **numbered})
        names: set[str] = set()
        for name, raw, reasons in given:
            _sheet(book.add_worksheet(_name(name, names)), raw, reasons, shapes)
        if not given:
            book.add_worksheet("Empty")
    return buffer.getvalue()


def _name(name: str, taken: set[str]) -> str:
    """A name that a worksheet may have: short, without the marks that are not allowed, each once."""
    plain = "".join("_" if c in "[]:*?/\\" else c for c in name)[:28].strip("'") or "Sheet"
    while plain.lower() in taken:
        plain = f"{plain[:26]}_{len(taken)}"
    taken.add(plain.lower())
    return plain


def _sheet(sheet: Any, raw: RawSheet, reasons: Reasons, shapes: Shapes) -> None:
    width = max((len(row) for row in raw.rows), default=0)
    for i, row in enumerate(raw.rows):
        cells, words = reasons.get(i + 1, (set(), ()))
        for j, cell in enumerate(row):
            at = f"{letter_of(j)}{i + 1}"
            sort = "cell" if at in cells else "line" if words else ""
            _cell(sheet, (i, j), cell, shapes[sort])
            if at in cells:
                sheet.write_comment(i, j, " ".join(words)[:2000], {"visible": False})
        if words:
            sheet.write_string(i, width, " ".join(words)[:30_000], shapes["why"][""])
    if reasons:
        first = max(min(reasons) - 2, 0)
        if first + 1 not in reasons:
            sheet.write_string(first, width, WHY_REFUSED, shapes["why"][""])
        sheet.set_column(width, width, 60)


def _cell(sheet: Any, place: tuple[int, int], cell: object, shapes: Mapping[str, Any]) -> None:
    on = cell.on if isinstance(cell, MonthCell) else cell
    if isinstance(on, dt.date):
        sheet.write_datetime(*place, on, shapes["month" if isinstance(cell, MonthCell) else "day"])
    elif is_number(cell) and abs(cell) < 1e300:  # type: ignore[arg-type]
        sheet.write_number(*place, cell, shapes[""])
    elif text := str(cell) if isinstance(cell, str) else text_in(cell):
        sheet.write_string(*place, text[:32_000], shapes[""])
    else:
        sheet.write_blank(*place, None, shapes[""])
