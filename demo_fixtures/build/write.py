"""From lines to files: CSV where a difference should be readable, one workbook as planners keep it."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

from demo_fixtures.copies import write_workbook

Row = dict[str, object]


def write_csv(folder: Path, name: str, rows: Sequence[Row]) -> None:
    """This will write one sheet; its headings are the keys of its first line."""
    with (folder / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
        lines = csv.writer(file, lineterminator="\n")
        lines.writerow(rows[0])
        for row in rows:
            lines.writerow(["" if cell is None else str(cell) for cell in row.values()])


def write_plan(path: Path, title: str, sheets: dict[str, Sequence[Row]]) -> None:
    """This will write a workbook: a title above, a blank row, headings, real date cells."""
    cells: dict[str, list[list[object]]] = {
        name: [[title], [], list(rows[0]), *(list(row.values()) for row in rows)]
        for name, rows in sheets.items()
    }
    write_workbook(path, cells)
