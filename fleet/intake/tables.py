"""From the cells of a sheet to a table: its kind, its heading row, its lines, its columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from fleet.house import pace
from fleet.intake.workbooks.xlsx import letter_of

from .columns import ReadColumn, read_column
from .files import RawSheet
from .problems import CellProblem, UnreadableFile, shown
from .registry import (
    WHY_REFUSED,
    Column,
    SheetKind,
    is_read_me,
    kind_named,
    kind_nearest,
    kinds,
    names,
)
from .words import folded

#: A heading row is looked for among so many first rows.
HEADING_WITHIN = 40


@dataclass(slots=True)
class Table:
    """The lines of one sheet. ``rows[i]`` is the true row number of line ``i`` (from 1).

    ``columns`` holds, by field, the values in order; ``problems`` the refusals of cells by line and
    field; ``letters`` the letter of each field's column; ``warnings`` sentences about the sheet. ``names``
    says where the cell of a line's field stands, where that is not in its row and column.
    """

    kind: SheetKind
    file: str
    sheet: str
    heading_row: int
    rows: list[int]
    columns: dict[str, list[object]]
    problems: list[tuple[int, str, CellProblem]]
    letters: dict[str, str]
    warnings: list[tuple[str, str, str]] = field(default_factory=list)
    raw: list[list[object]] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    names: dict[tuple[int, str], str] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.rows)

    def place_of(self, line: int, name: str | None) -> tuple[int, str]:
        """The row (from 1) and the cell, such as ``C7``, of a line's field; no cell where it has no column."""
        if named := self.names.get((line, name or "")) or self.names.get((line, "")):
            row = "".join(filter(str.isdigit, named))
            return int(row), named
        row_number, letter = self.rows[line], self.letters.get(name or "", "")
        return row_number, f"{letter}{row_number}" if letter else ""

    def as_brought(self, line: int) -> dict[str, str]:
        """The cells of a line as they were brought, by heading, as text."""
        cells = self.raw[self.rows[line] - 1]
        return {
            heading: shown(cell, 1000)  # as long as any text is kept
            for heading, cell in zip(self.headings, cells, strict=False)
            if heading and cell not in ("", None)
        }


def table_of(raw: RawSheet, file: str, ways: str = "", only_sheet: bool = False) -> Table | None:
    """This will find a sheet's kind, headings and lines and read its cells.

    None for a sheet without content or of explanations. Raises :class:`UnreadableFile` where the
    sheet's name is unknown, its headings are not found or a needed column is not there.
    """
    if is_read_me(raw.name) or not any(_is_filled(row) for row in raw.rows):
        return None
    kind = _kind_of(raw, file, only_sheet)
    heading_row, places = _headings(raw, kind, file)
    headings = [str(cell).strip() for cell in raw.rows[heading_row]]
    _refuse_missing(raw, kind, places, file, heading_row)
    width = 1 + max(max(at) for at in places.values())
    lines = _filled(raw.rows, heading_row + 1)
    cells_of = _column_reader(raw.rows, lines, width)
    columns: dict[str, list[object]] = {}
    problems: list[tuple[int, str, CellProblem]] = []
    for number, column in enumerate(kind.columns):
        pace.reached(number / len(kind.columns), "reading")
        at = places.get(column.field)
        if at is None:
            columns[column.field] = [None] * len(lines)
            continue
        read = _read(column, cells_of(at[0]), ways)
        columns[column.field] = read.values
        problems += [(i, column.field, problem) for i, problem in read.problems.items()]
    problems.sort(key=lambda found: found[0])
    return Table(
        kind=kind,
        file=file,
        sheet=raw.name,
        heading_row=heading_row + 1,
        rows=[i + 1 for i in lines],
        columns=columns,
        problems=problems,
        letters={name: letter_of(at[0]) for name, at in places.items()},
        warnings=_unknown_headings(headings, places, heading_row),
        raw=raw.rows,
        headings=headings,
    )


def table_said(kind: SheetKind, lines: Sequence[Mapping[str, object]]) -> Table:
    """Lines that were typed field by field, as a table: row 1 is the first of them."""
    columns: dict[str, list[object]] = {}
    problems: list[tuple[int, str, CellProblem]] = []
    for column in kind.columns:
        cells = [line.get(column.field, "") for line in lines]
        read = _read(column, ["" if cell is None else cell for cell in cells], "")
        columns[column.field] = read.values
        problems += [(i, column.field, problem) for i, problem in read.problems.items()]
    return Table(
        kind=kind,
        file="",
        sheet=kind.name,
        heading_row=0,
        rows=list(range(1, len(lines) + 1)),
        columns=columns,
        problems=problems,
        letters={column.field: letter_of(at) for at, column in enumerate(kind.columns)},
    )


def _is_filled(row: Sequence[object]) -> bool:
    for cell in row:
        if cell.__class__ is str:
            if cell and not cell.isspace():
                return True
        elif cell is not None:
            return True
    return False


def _filled(rows: Sequence[Sequence[object]], start: int) -> list[int]:
    """The rows from ``start`` on that hold something; most hold a word in their first cell."""
    return [
        start + i
        for i, row in enumerate(rows[start:])
        if (row and row[0].__class__ is str and row[0].strip()) or _is_filled(row)
    ]


def _kind_of(raw: RawSheet, file: str, only_sheet: bool) -> SheetKind:
    kind = kind_named(raw.name)
    if kind is None and only_sheet:
        kind = kind_named(Path(file).stem)
    if kind is not None:
        return kind
    near = kind_nearest(raw.name)
    what = "The file's name" if raw.is_csv else "The sheet's name"
    hint = (
        f"Did you mean '{near}'?" if near else f"Known names: {', '.join(k.name for k in kinds())}."
    )
    raise UnreadableFile(
        "unknown_sheet",
        f"{what} '{shown(raw.name)}' names no kind of fact, so nothing of it was read. {hint}",
    )


def _headings(raw: RawSheet, kind: SheetKind, file: str) -> tuple[int, dict[str, list[int]]]:
    """The row (from 0) that names the most columns, and where each field's heading stands."""
    by_word = {word: column.field for column in kind.columns for word in column.headings}
    best: tuple[int, dict[str, list[int]]] = (-1, {})
    filled = 0
    for i, row in enumerate(raw.rows):
        if not _is_filled(row):
            continue
        places: dict[str, list[int]] = {}
        for j, cell in enumerate(row):
            if name := _named_by(cell, by_word):
                places.setdefault(name, []).append(j)
        if len(places) > len(best[1]):
            best = (i, places)
        filled += 1
        if filled >= HEADING_WITHIN or i > 2000:
            break
    least = min(2, len(kind.columns))
    if len(best[1]) < least:
        raise UnreadableFile(
            "no_headings",
            f"Sheet '{raw.name}' of {file}: no row with its headings was found. Give one row with "
            f"{names(column for column in kind.columns if column.needed)}.",
        )
    return best


def _named_by(cell: object, by_word: dict[str, str]) -> str | None:
    """The field that a heading names, with or without what stands in brackets after it."""
    if not isinstance(cell, str) or not cell:
        return None
    return by_word.get(folded(cell)) or by_word.get(folded(cell.partition("(")[0]))


def _refuse_missing(
    raw: RawSheet, kind: SheetKind, places: dict[str, list[int]], file: str, row: int
) -> None:
    twice = next((name for name, at in places.items() if len(at) > 1), None)
    if twice:
        letters = " and ".join(letter_of(j) for j in places[twice])
        raise UnreadableFile(
            "heading_twice",
            f"Sheet '{raw.name}' of {file}: columns {letters} are both headed "
            f"'{kind.column(twice).name}'. Leave one of them.",
        )
    missing = [column for column in kind.columns if column.needed and column.field not in places]
    if missing:
        raise UnreadableFile(
            "column_missing",
            f"Sheet '{raw.name}' of {file}: {names(missing)} is missing among the headings of row "
            f"{row + 1}. Add the column; the template shows every heading.",
        )


def _column_reader(rows: list[list[object]], lines: list[int], width: int):
    """A function from a column's index to its cells; rows of a CSV may be short."""
    picked = [rows[i] for i in lines]
    if not set(map(len, picked)) <= {width}:
        picked = [[*row[:width], *[""] * (width - len(row))] for row in picked]
    columns = list(zip(*picked, strict=True)) if picked else [()] * width
    return columns.__getitem__


def _read(column: Column, cells: Sequence[object], ways: str) -> ReadColumn:
    read = read_column(cells, column.kind, choices=column.choices, most=column.most, ways=ways)
    if column.needed and None in read.values:
        for i, value in enumerate(read.values):
            if value is None and i not in read.problems:
                read.problems[i] = CellProblem(
                    "missing", f"'{column.name}' is blank, and it is needed.", "Fill it in."
                )
    return read


def _unknown_headings(
    headings: list[str], places: dict[str, list[int]], row: int
) -> list[tuple[str, str, str]]:
    known = {j for at in places.values() for j in at}
    return [
        (
            f"{letter_of(j)}{row + 1}",
            "unknown_column",
            f"Column '{shown(heading)}' is not known here and was not read.",
        )
        for j, heading in enumerate(headings)
        if heading and j not in known and folded(heading) != folded(WHY_REFUSED)
    ]
