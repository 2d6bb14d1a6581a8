"""A suspicion: its sentence and its lines, each with what could be meant."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.seen import left_by
from fleet.own_sheets.unit import Seen
from fleet.own_sheets.words.marks import text_in


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a doubt: the cell that it is about, what stands there, and what could be meant.

    ``left_by`` is by what the unit is left out, where that is not its whole row.
    """

    sheet: str
    cell: str
    holds: str
    says: str
    meant: str = ""
    left_by: str = ""

    @property
    def key(self) -> str:
        return f"{self.sheet}!{self.cell}"

    @property
    def line_key(self) -> str:
        return self.left_by or f"{self.sheet}!{re.sub('[A-Z]', '', self.cell)}"


@dataclass(slots=True)
class Doubt:
    """One sort of suspicion: its code, a sentence, and its lines. ``is_left`` where such a line cannot
    be taken as it is, so that it is left out unless it is mended. ``keeps_place`` where what is taken of it
    then is its position, with nothing recorded there."""

    code: str
    sentence: str
    lines: list[Line] = field(default_factory=list)
    is_left: bool = False
    keeps_place: bool = False


def line_of(one: Seen, sheets: Sequence[OwnSheet], role: str, says: str, meant: str = "") -> Line:
    sheet = sheets[one.sheet]
    column = sheet.column(role, one.group)
    row = sheet.rows[one.row]
    holds = text_in(row[column.at]) if column and column.at < len(row) else ""
    return Line(
        sheet.name, sheet.cell_name(column, one.row), holds, says, meant, left_by(one, sheet)
    )


def role_of(one: Seen, sheets: Sequence[OwnSheet], role: str) -> str:
    return role if sheets[one.sheet].column(role, one.group) else "part_serial"
