"""How long 100,000 units take from a workbook to the records, against only reading the workbook."""

from __future__ import annotations

import datetime as dt
import secrets
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from typing import Any

import python_calamine
import xlsxwriter
from django.apps import apps
from django.contrib.auth import get_user_model
from django.db import connection
from django.utils import timezone

from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.loading.acts.loads import bring_load
from fleet.loading.work import work_on
from fleet.models import Load
from fleet.people.acts.people import NewPerson, found_house

from .fresh import address_of, in_fresh_process

UNITS = 100_000
TARGET = 4.0
NAME = "greenband_bench_load"
LOADER = "bench"
MAKERS, PARTS = 5, 120
_DAY = dt.date(2026, 1, 1)


@dataclass(frozen=True, slots=True)
class Figure:
    """One line of the bench. ``ok`` is whether the target is met."""

    name: str
    value: float
    unit: str
    target: str
    ok: bool
    peak_mib: int
    detail: dict[str, Any] = field(default_factory=dict)


def measure(units: int = UNITS, rounds: int = 5) -> Figure:
    """The median of whole loads (brought, read, planned, applied) over that of bare readings.

    Each in a process of its own and by turns, so that both meet the same machine.
    """
    with tempfile.TemporaryDirectory() as folder, _scratch():
        ground, sheet = Path(folder) / "ground.xlsx", Path(folder) / "units.xlsx"
        write_ground(ground)
        write_units(sheet, units)
        roles = (CONTROLLER, ADMINISTRATOR)
        first = NewPerson(LOADER, "Bench", "Mark", secrets.token_urlsafe(), roles)
        found_house(administrator=first, at=timezone.now())
        load_whole(ground)
        reads, loads, peak = [], [], 0
        for _ in range(rounds):
            reads.append(_apart("read_bare", sheet)[0])
            seconds, mib = _apart("load_whole", sheet)
            loads.append(seconds)
            peak = max(peak, mib)
            _empty()
    ratio = median(loads) / median(reads)
    detail = {
        "seconds": [round(s, 2) for s in loads],
        "reader_seconds": [round(s, 2) for s in reads],
    }
    return Figure(
        "load_units", round(ratio, 3), "x reader", f"<= {TARGET}", ratio <= TARGET, peak, detail
    )


def write_ground(path: Path) -> None:
    """What units stand on: a kind, makers, part numbers and standards."""
    parts = [(f"QB{i % MAKERS:02d}", f"QB-{i:04d}") for i in range(PARTS)]
    sheets: dict[str, list[tuple[str, ...]]] = {
        "Kinds": [("Code", "Name"), ("QBKIND", "Bench kind")],
        "Makers": [("Code", "Name"), *((f"QB{i:02d}", f"Bench maker {i}") for i in range(MAKERS))],
        "Part numbers": [
            ("Maker", "Part number", "Description", "Kind"),
            *((maker, part, "Bench part", "QBKIND") for maker, part in parts),
        ],
        "Modification standards": [
            ("Maker", "Part number", "Standard"),
            *((maker, part, "MOD A") for maker, part in parts),
        ],
    }
    with xlsxwriter.Workbook(path) as book:
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for i, row in enumerate(rows):
                sheet.write_row(i, 0, row)


def write_units(path: Path, units: int) -> None:
    """A sheet of units as an operator has it: codes, real dates, some cells blank."""
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Units")
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        headings = (
            "Maker",
            "Part number",
            "Serial number",
            "Manufactured on",
            "Standard",
            "Quantity",
            "Stated life (months)",
            "Note",
        )
        sheet.write_row(0, 0, headings)
        for i in range(units):
            part = i * 7 % PARTS
            sheet.write_string(i + 1, 0, f"QB{part % MAKERS:02d}")
            sheet.write_string(i + 1, 1, f"QB-{part:04d}")
            sheet.write_string(i + 1, 2, f"S{i:07d}")
            sheet.write_datetime(i + 1, 3, _DAY - dt.timedelta(days=i * 13 % 5000), day)
            if i % 3 == 0:
                sheet.write_string(i + 1, 4, "MOD A")
            sheet.write_number(i + 1, 5, 1)
            if i % 7 == 0:
                sheet.write_number(i + 1, 6, 288)


def read_bare(path: Path) -> float:
    """Seconds that the reader library takes to read the sheet, and nothing else."""
    begun = time.perf_counter()
    with python_calamine.load_workbook(str(path)) as book:
        rows = book.get_sheet_by_name("Units").to_python()
    seconds = time.perf_counter() - begun
    assert rows
    return seconds


def load_whole(path: Path) -> float:
    """Seconds from a workbook brought to its facts on record."""
    by = get_user_model().objects.get(username=LOADER)
    contents = path.read_bytes()
    begun = time.perf_counter()
    load = bring_load(
        by=by, files=[(path.name, [contents])], at=timezone.now(), mode=Load.ALL_OR_NOTHING
    )
    result = work_on(load_id=load.pk, now=timezone.now, today=timezone.now().date())
    seconds = time.perf_counter() - begun
    load.refresh_from_db()
    assert result is not None and result.is_applied, load.fault or load.summary
    return seconds


def _apart(work: str, path: Path) -> tuple[float, int]:
    return in_fresh_process(address_of(connection.settings_dict), f"{__name__}:{work}", path)


def _empty() -> None:
    """No unit is left, nor its dead row, so that each round meets the same tables."""
    table = apps.get_model("equipment", "Unit")._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {table}")
        cursor.execute(f"VACUUM {table}")


@contextmanager
def _scratch() -> Iterator[None]:
    """A database of its own in the same server, dropped afterwards."""
    settings = connection.settings_dict
    before = settings["NAME"], settings.setdefault("TEST", {}).get("NAME")
    settings["TEST"]["NAME"] = NAME
    connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    try:
        yield
    finally:
        connection.creation.destroy_test_db(before[0], verbosity=0)
        settings["TEST"]["NAME"] = before[1]
