"""A sheet understood: where its table is, its columns, and what holds for all its lines."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field

from fleet.intake.files import RawSheet
from fleet.own_sheets.said import SheetSaid
from fleet.own_sheets.words.crafts import is_spares, registration_in
from fleet.own_sheets.words.days import ASK
from fleet.own_sheets.words.heads import ASPECTS, MANY, ROLES, head_of, work_in, work_name
from fleet.own_sheets.words.items import is_item
from fleet.own_sheets.words.marks import bare, text_in

from .by_aircraft import by_aircraft
from .grids import Grid, grid_of
from .layout import Layout, layout_of
from .proposing import SECOND, Column, columns_of, propose
from .rearranged import rearranged


@dataclass(slots=True)
class OwnSheet:
    """A sheet understood: its rows, where its table is, its columns, what holds for all its lines.

    ``names`` says where cells (row, column) stand in the owner's sheet, where that is not where they are here, and ``how`` in what way
    it was written.
    """

    name: str
    rows: list[list[object]]
    layout: Layout
    columns: list[Column] = field(default_factory=list)
    grid: Grid | None = None
    aircraft: str = ""
    item: str = ""
    is_spares: bool = False
    is_left_out: bool = False
    faults: list[str] = field(default_factory=list)
    names: dict[tuple[int, int], str] = field(default_factory=dict)
    how: str = ""

    def at(self, role: str) -> int | None:
        """The column of this role; None if no column has it."""
        return next((column.at for column in self.columns if column.role == role), None)

    def column(self, role: str, group: str = "") -> Column | None:
        """The column that holds a role of the unit at a position (``group``), or of the whole line; a work's
        dates may stand in a column for the work of its line."""
        roles = {role, f"{role.partition(':')[0]}:"} if ":" in role else {role}
        of_role = [column for column in self.columns if column.role in roles]
        return next(
            (column for each in (group, "") for column in of_role if column.group == each), None
        )

    def row_name(self, row: int) -> str:
        """A whole line: its row in the owner's sheet, or where its first cell stands."""
        return self.names.get((row, 0)) or f"{row + 1}"

    def cell_name(self, column: Column | None, row: int) -> str:
        """Where a line's cell of a column stands in the owner's sheet, as ``C7``; its row where there is none."""
        if column is None:
            return self.row_name(row)
        return self.names.get((row, column.at)) or f"{column.letter}{row + 1}"


def role_words(role: str) -> str:
    """What a role is called on the page."""
    if role in ROLES:
        return ROLES[role]
    aspect, _, code = role.partition(":")
    work = work_name(code) if code else "the work of its line"
    return f"{work}: {ASPECTS.get(aspect, aspect)}"


def sheet_of(raw: RawSheet, said: SheetSaid, day: dt.date) -> OwnSheet:
    """This will propose what a sheet's columns are, and put in their place what a person said."""
    written = by_aircraft(raw.rows) or rearranged(raw.rows)
    rows = written.rows if written else raw.rows
    layout = layout_of(rows)
    sheet = OwnSheet(raw.name, rows, layout)
    if written:
        sheet.names, sheet.how = written.names, written.how
    words = f"{raw.name} {layout.title}"
    sheet.aircraft = (
        said.aircraft or registration_in(raw.name) or registration_in(_without_part(layout.title))
    )
    sheet.is_spares = is_spares(raw.name)
    sheet.item = said.item or _item_named(sheet)
    sheet.grid = grid_of(rows, day, sheet.aircraft) if rows else None
    if sheet.grid is None:
        sheet.columns = columns_of(rows, layout, day)
        propose(sheet.columns, work_in(bare(words))[0])
    _put(sheet, said)
    sheet.is_left_out = _is_no_list(sheet) if said.is_left_out is None else said.is_left_out
    if not sheet.is_left_out and sheet.grid is None:
        sheet.faults += [*_without_serials(sheet), *_second_serials(sheet, said)]
    return sheet


def _item_named(sheet: OwnSheet) -> str:
    """What all units of a sheet are, where its last title or its name says it."""
    title = sheet.layout.titles[-1:]
    texts = [text_in(cell) for i in title for cell in sheet.rows[i] if text_in(cell)]
    named = [*texts, sheet.name] if len(texts) == 1 else [sheet.name]
    return next((_without_part(text) for text in named if is_item(text)), "")


def _without_part(text: str) -> str:
    """LIFE VESTS P/N LV-100 as what they are."""
    return re.sub(r"\s*\bP/?N\b.*", "", text, flags=re.IGNORECASE) or text


def _is_no_list(sheet: OwnSheet) -> bool:
    """A sheet of notes or addresses: nothing in it is told apart by a number, and nothing is due."""
    if sheet.grid is not None:
        return False
    roles = {column.role for column in sheet.columns}
    if tells_totals(sheet):
        return False
    return not roles & {"serial", "part_serial", "part"} and not any(":" in role for role in roles)


def tells_totals(sheet: OwnSheet) -> bool:
    """Whether a sheet lists aircraft with their own totals and the day that they were read."""
    roles = {column.role for column in sheet.columns}
    return {"aircraft", "read_on"} <= roles and bool(roles & {"hours", "cycles"})


def _without_serials(sheet: OwnSheet) -> list[str]:
    if tells_totals(sheet) or any(c.role in {"serial", "part_serial"} for c in sheet.columns):
        return []
    return [
        f"Sheet '{sheet.name}': no column is named as the serial numbers, so that no unit can be told apart. "
        "Say which column it is, or leave the sheet out."
    ]


def _second_serials(sheet: OwnSheet, said: SheetSaid) -> list[str]:
    """More columns of serial numbers than one: their units would be lost without a word."""
    return [
        f"Sheet '{sheet.name}': column {column.letter} ({column.name}) holds serial numbers too. One line tells one unit "
        "here, or two in one cell: put each unit in a line of its own, or say what the column is."
        for column in sheet.columns
        if column.why == SECOND
        and head_of(column.name).role == "serial"
        and column.key not in said.columns
    ]


def _put(sheet: OwnSheet, said: SheetSaid) -> None:
    """What a person said goes before what is proposed; a role said twice is a fault of the sheet."""
    for column in sheet.columns:
        if column.key in said.columns:
            column.role, column.is_sure, column.why = said.columns[column.key], True, "as you said"
        if said.ways and column.way == ASK:
            column.way = said.ways
    named: dict[tuple[str, str], Column] = {}
    for column in sheet.columns:
        first = named.setdefault((column.group, column.role), column)
        is_bare = column.role.endswith(":") and sheet.at("work") is None
        if first is not column and column.role not in MANY and not is_bare:
            sheet.faults.append(
                f"Columns {first.letter} and {column.letter} are both “{role_words(column.role)}”. "
                "Leave one of them, or say what the other is."
            )
