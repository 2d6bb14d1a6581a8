"""People and loads for the tests of the way in."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter

from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.loading.batch import Bringing
from fleet.loading.outcomes import LoadResult
from fleet.loading.run import load_files
from fleet.models import User

NOW = dt.datetime(2026, 11, 25, 9, 0, tzinfo=dt.UTC)
Sheets = dict[str, list[list[object]]]


@pytest.fixture
def controller(db: None) -> User:
    return User.objects.create_user("controller", roles=[CONTROLLER, ADMINISTRATOR])


@pytest.fixture
def bringing(controller: User) -> Bringing:
    return Bringing(by=controller, at=NOW, today=NOW.date(), key=uuid.uuid4())


@pytest.fixture
def workbook(tmp_path: Path) -> Callable[[Sheets], Path]:
    """Writes sheets, each a list of rows, as a workbook."""

    def write(sheets: Sheets) -> Path:
        path = tmp_path / f"{uuid.uuid4()}.xlsx"
        with xlsxwriter.Workbook(path) as book:
            day = book.add_format({"num_format": "dd/mm/yyyy"})
            for name, rows in sheets.items():
                sheet = book.add_worksheet(name)
                for i, row in enumerate(rows):
                    for j, cell in enumerate(row):
                        if isinstance(cell, dt.date):
                            sheet.write_datetime(i, j, cell, day)
                        else:
                            sheet.write(i, j, cell)
        return path

    return write


@pytest.fixture
def bring(bringing: Bringing, workbook: Callable[[Sheets], Path]) -> Callable[..., LoadResult]:
    """Brings sheets in and keeps the good lines."""

    def load(sheets: Sheets, **options: object) -> LoadResult:
        path = workbook(sheets)
        options.setdefault("keep", lambda result: True)
        return load_files([(path, "brought.xlsx")], bringing, **options)  # type: ignore[arg-type]

    return load
