"""The demonstration's sheets, copied with their dates moved; the copies are what is loaded."""

from __future__ import annotations

import csv
from datetime import date, datetime
from pathlib import Path

import python_calamine
import xlsxwriter

from .shift import Shift, moved_cell, moved_text, shift_between

FOLDER = Path(__file__).parent
#: One load after the other, as an operator brings what was found later.
LOADS = ("first", "later", "line")


def reference_day() -> date:
    """The day for which the sheets are written."""
    return date.fromisoformat((FOLDER / "reference_day.txt").read_text().strip())


def moved_copies(load: str, today: date, into: Path) -> list[Path]:
    """This will copy the sheets of one load into a folder, moved to ``today``, and list them."""
    shift = shift_between(reference_day(), today)
    copies = []
    for source in sorted((FOLDER / "sheets" / load).iterdir()):
        copy = into / source.name
        if source.suffix == ".csv":
            _copy_csv(source, copy, shift)
        else:
            _copy_workbook(source, copy, shift)
        copies.append(copy)
    return copies


def _copy_csv(source: Path, copy: Path, shift: Shift) -> None:
    with (
        source.open(newline="", encoding="utf-8") as read,
        copy.open("w", newline="", encoding="utf-8") as written,
    ):
        lines = csv.writer(written, lineterminator="\n")
        for row in csv.reader(read):
            lines.writerow([moved_text(cell, shift) for cell in row])


def _copy_workbook(source: Path, copy: Path, shift: Shift) -> None:
    with python_calamine.load_workbook(str(source)) as workbook:
        sheets = {
            name: workbook.get_sheet_by_name(name).to_python(skip_empty_area=False)
            for name in workbook.sheet_names
        }
    write_workbook(
        copy,
        {
            name: [[moved_cell(cell, shift) for cell in row] for row in rows]
            for name, rows in sheets.items()
        },
    )


def write_workbook(path: Path, sheets: dict[str, list[list[object]]]) -> None:
    """This will write a workbook with real date cells; the same sheets give the same bytes."""
    with xlsxwriter.Workbook(str(path)) as workbook:
        workbook.set_properties({"created": datetime(2026, 1, 1)})  # noqa: DTZ001 (a workbook knows no zone)
        as_date = workbook.add_format({"num_format": "yyyy-mm-dd"})
        for name, rows in sheets.items():
            sheet = workbook.add_worksheet(name)
            for i, row in enumerate(rows):
                for j, cell in enumerate(row):
                    if isinstance(cell, date):
                        sheet.write_datetime(i, j, cell, as_date)
                    elif cell not in ("", None):
                        sheet.write(i, j, cell)
