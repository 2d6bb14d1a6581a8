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


#: By sheet and row (from 1): the cells that are marked, and the reasons.
Reasons = Mapping[str, Mapping[int, tuple[set[str], Sequence[str]]]]


def marked(raws: Sequence[RawSheet], reasons: Reasons) -> bytes:
    """The own spreadsheet's cells as they are, refused lines marked, their reasons in a column at the end."""
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer, _OPTIONS) as book:
        shapes = {
            "day": book.add_format({"num_format": "d mmm yyyy"}),
            "month": book.add_format({"num_format": "mmm yyyy"}),
            "why": book.add_format({"bg_color": "#FFE08A", "text_wrap": True}),
            "marked": book.add_format({"bg_color": "#FFE08A"}),
            "marked day": book.add_format({"bg_color": "#FFE08A", "num_format": "d mmm yyyy"}),
        }
        names: set[str] = set()
        for raw in raws:
            _sheet(
                book.add_worksheet(_name(raw.name, names)), raw, reasons.get(raw.name, {}), shapes
            )
        if not raws:
            book.add_worksheet("Empty")
    return buffer.getvalue()


def _name(name: str, taken: set[str]) -> str:
    """A name that a worksheet may have: short, without the marks that are not allowed, each once."""
    plain = "".join("_" if c in "[]:*?/\\" else c for c in name)[:28].strip("'") or "Sheet"
    while plain.lower() in taken:
        plain = f"{plain[:26]}_{len(taken)}"
    taken.add(plain.lower())
    return plain


def _sheet(
    sheet: Any,
    raw: RawSheet,
    reasons: Mapping[int, tuple[set[str], Sequence[str]]],
    shapes: Mapping[str, Any],
) -> None:
    width = max((len(row) for row in raw.rows), default=0)
    for i, row in enumerate(raw.rows):
        is_marked = i + 1 in reasons
        for j, cell in enumerate(row):
            _cell(sheet, i, j, cell, shapes, is_marked=is_marked)
        if is_marked:
            sheet.write_string(i, width, " ".join(reasons[i + 1][1])[:30_000], shapes["why"])
    if reasons:
        first = max(min(reasons) - 2, 0)
        if first + 1 not in reasons:
            sheet.write_string(first, width, WHY_REFUSED, shapes["why"])
        sheet.set_column(width, width, 60)


def _cell(
    sheet: Any, i: int, j: int, cell: object, shapes: Mapping[str, Any], *, is_marked: bool
) -> None:
    plain = shapes["marked"] if is_marked else None
    on = cell.on if isinstance(cell, MonthCell) else cell
    if isinstance(on, dt.date):
        shape = "marked day" if is_marked else "month" if isinstance(cell, MonthCell) else "day"
        sheet.write_datetime(i, j, on, shapes[shape])
    elif is_number(cell) and abs(cell) < 1e300:  # type: ignore[arg-type]
        sheet.write_number(i, j, cell, plain)
    elif text := str(cell) if isinstance(cell, str) else text_in(cell):
        sheet.write_string(i, j, text[:32_000], plain)
