"""Lines as tables of the loader: read by the same rules as the template's, at the rows of the own sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from fleet.intake.columns import DAY, INSTANT, STAMP, read_column
from fleet.intake.problems import CellProblem
from fleet.intake.registry import Column, SheetKind, kinds
from fleet.intake.stamps import Stamp
from fleet.intake.tables import Table
from fleet.intake.workbooks.xlsx import letter_of

from .gathered import Line
from .reading.sheets import OwnSheet

_DATED = frozenset({DAY, STAMP, INSTANT})
SAID_HERE = "what you said"


def tables_of(
    lines: Mapping[str, Sequence[Line]], sheets: Sequence[OwnSheet], file: str
) -> list[Table]:
    """One table for each kind of sheet and each own sheet it comes from, in the order of loading. What
    comes off (``Movements off``) stands before what goes on."""
    return [
        _table(kind, mine, sheets[mine[0].sheet] if mine[0].sheet >= 0 else None, file)
        for kind in kinds()
        for of_kind in (lines.get(f"{kind.name} off", ()), lines.get(kind.name, ()))
        for mine in _by_columns(of_kind)
    ]


def _by_columns(lines: Sequence[Line]) -> list[list[Line]]:
    """Lines that come from the same columns of one sheet, so that a refusal names the right cell."""
    found: dict[tuple[object, ...], list[Line]] = {}
    for line in lines:
        found.setdefault((line.sheet, line.group, *sorted(line.roles.items())), []).append(line)
    return sorted(found.values(), key=lambda mine: mine[0].sheet)


def _table(kind: SheetKind, lines: Sequence[Line], sheet: OwnSheet | None, file: str) -> Table:
    columns: dict[str, list[object]] = {}
    problems: list[tuple[int, str, CellProblem]] = []
    for column in kind.columns:
        values, bad = _read(column, [line.values.get(column.field) for line in lines])
        columns[column.field] = values
        problems += [(i, column.field, problem) for i, problem in bad.items()]
    problems.sort(key=lambda found: found[0])
    headings = sheet.layout.headings if sheet else []
    return Table(
        kind=kind,
        file=file,
        sheet=sheet.name if sheet else SAID_HERE,
        heading_row=headings[-1] + 1 if headings else 1,
        rows=[line.row + 1 if sheet else i + 1 for i, line in enumerate(lines)],
        columns=columns,
        problems=problems,
        letters=_letters(lines, sheet),
        raw=sheet.rows if sheet else [list(line.values.values()) for line in lines],
        headings=_headings(sheet) if sheet else list(lines[0].values),
        names=_names(lines, sheet) if sheet and sheet.names else {},
    )


def _headings(sheet: OwnSheet) -> list[str]:
    """Headings that tell their columns apart, as a line that is refused is shown under them."""
    width = max((len(row) for row in sheet.rows), default=0)
    keys = {column.at: column.name or column.letter for column in sheet.columns}
    names: list[str] = []
    for at in range(width):
        name = keys.get(at, letter_of(at))
        names.append(name if name not in names else f"{name} ({letter_of(at)})")
    return names


def _names(lines: Sequence[Line], sheet: OwnSheet) -> dict[tuple[int, str], str]:
    """Where each line's cells stand in a sheet that was written anew; the line itself under no name."""
    found = {}
    for i, line in enumerate(lines):
        found[i, ""] = sheet.row_name(line.row)
        for name, role in line.roles.items():
            if column := sheet.column(role, line.group):
                found[i, name] = sheet.cell_name(column, line.row)
    return {key: place for key, place in found.items() if any(map(str.isdigit, place))}


def _letters(lines: Sequence[Line], sheet: OwnSheet | None) -> dict[str, str]:
    if sheet is None or not lines:
        return {}
    of = lines[0]
    columns = {name: sheet.column(role, of.group) for name, role in of.roles.items()}
    return {name: column.letter for name, column in columns.items() if column}


def _read(column: Column, cells: list[object]) -> tuple[list[object], dict[int, CellProblem]]:
    bad = {i: cell for i, cell in enumerate(cells) if isinstance(cell, CellProblem)}
    plain = ["" if isinstance(cell, CellProblem | None) else cell for cell in cells]
    if column.kind in _DATED:
        values: list[object] = [_day(column, cell) if cell != "" else None for cell in plain]
        found = {i: each for i, each in enumerate(values) if isinstance(each, CellProblem)}
        values = [None if i in found else each for i, each in enumerate(values)]
    else:
        read = read_column(plain, column.kind, choices=column.choices, most=column.most)
        values, found = list(read.values), dict(read.problems)
    found |= bad
    if column.needed:
        for i, each in enumerate(values):
            if each is None and i not in found:
                found[i] = CellProblem(
                    "missing", f"'{column.name}' is blank, and it is needed.", "Fill it in."
                )
    return values, found


def _day(column: Column, cell: object) -> object:
    stamp = cell if isinstance(cell, Stamp) else None
    if stamp is None:
        return Stamp(cell, "day") if isinstance(cell, dt.date) and column.kind != DAY else cell
    if column.kind != DAY:
        return stamp
    if stamp.precision == "day":
        return stamp.on
    return CellProblem(
        "day_missing", "A day is needed here, and the cell names a month.", "Write the day."
    )
