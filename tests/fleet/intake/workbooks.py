"""Workbooks as tests need them: made whole by XlsxWriter, then with parts of another making."""

from __future__ import annotations

import io
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import xlsxwriter
from hypothesis import HealthCheck, settings

from fleet.intake.files import RawSheet, read_file
from fleet.intake.problems import UnreadableFile

SHEET = "xl/worksheets/sheet1.xml"
STRINGS = "xl/sharedStrings.xml"
STYLES = "xl/styles.xml"
WORKBOOK = "xl/workbook.xml"
LINKS = "xl/_rels/workbook.xml.rels"

#: One folder serves all examples of a test: each writes its own file over the one before.
SHARED = settings(
    max_examples=120,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)

Fill = Callable[[Any, Any], object]

_PEAK = """
import resource, sys
from pathlib import Path
from fleet.intake.files import read_file
from fleet.intake.problems import UnreadableFile
def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
path = Path(sys.argv[1])
before = peak()
try:
    read_file(path, path.name)
    said = "read"
except UnreadableFile as refused:
    said = refused.code
print(peak() - before, said)
"""


def parts_of(fill: Fill = lambda book, sheet: sheet.write(0, 0, "x")) -> dict[str, bytes]:
    """The parts of a workbook with one sheet, ``Units``, as filled."""
    made = io.BytesIO()
    with xlsxwriter.Workbook(made) as book:
        fill(book, book.add_worksheet("Units"))
    with zipfile.ZipFile(made) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def with_cells(content: bytes, parts: dict[str, bytes] | None = None) -> dict[str, bytes]:
    """Parts whose one sheet has ``content`` between the marks of its data."""
    parts = parts or parts_of()
    before, mark, _ = parts[SHEET].partition(b"<sheetData>")
    _, end, after = parts[SHEET].partition(b"</sheetData>")
    parts[SHEET] = before + mark + content + end + after
    return parts


def zipped(path: Path, parts: Mapping[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return path


def said_of(path: Path) -> str:
    """The code of the refusal, or ``read``; whatever else it raises is the test's failure."""
    try:
        read_file(path, path.name)
    except UnreadableFile as refused:
        assert refused.message.endswith(".")
        return refused.code
    return "read"


def rows_of(path: Path) -> list[list[object]]:
    (sheet,) = read_file(path, path.name)
    assert isinstance(sheet, RawSheet)
    return sheet.rows


def seconds_of(path: Path, tries: int = 3) -> float:
    """The least of a few readings' processor time."""
    spent = []
    for _ in range(tries):
        begun = time.process_time()
        said_of(path)
        spent.append(time.process_time() - begun)
    return min(spent)


def peak_of(path: Path) -> tuple[int, str]:
    """(memory in MiB that reading adds in a process of its own, what was said)."""
    ran = subprocess.run(
        [sys.executable, "-c", _PEAK, str(path)], capture_output=True, text=True, check=True
    )
    peak, said = ran.stdout.split()
    return int(peak), said
