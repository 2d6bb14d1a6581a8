"""OpenDocument spreadsheets, looked over before they are read: how far their cells reach, once repeated."""

from __future__ import annotations

import datetime as dt
import zipfile
import zlib
from pathlib import Path

import python_calamine

from fleet.intake.files import RawSheet
from fleet.intake.problems import UnreadableFile

from .markup import BrokenMarkup, Look
from .zips import Parts, check_directory

MOST_CELLS = 12_000_000
_MIME, _CONTENT, _MANIFEST = "mimetype", "content.xml", "META-INF/manifest.xml"
_SPREADSHEET = b"application/vnd.oasis.opendocument.spreadsheet"
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    RuntimeError,
    ValueError,
    python_calamine.CalamineError,
)


def read_ods(path: Path, name: str, most_bytes: int) -> list[RawSheet] | None:
    """The visible sheets of an OpenDocument spreadsheet; None for a file that is none.

    Raises :class:`UnreadableFile` with a sentence for one that is protected, damaged or too large.
    """
    try:
        if path.stat().st_size > most_bytes or not zipfile.is_zipfile(path):
            return None
        with zipfile.ZipFile(path) as archive:
            if not _is_ods(archive):
                return None
            check_directory(archive, name, path.stat().st_size, _CONTENT)
            _check(Parts(archive), name)
        with python_calamine.load_workbook(str(path)) as workbook:
            return [
                RawSheet(
                    found.name,
                    [[_plain(cell) for cell in row] for row in _rows(workbook, found.name)],
                )
                for found in workbook.sheets_metadata
                if found.typ == python_calamine.SheetTypeEnum.WorkSheet
                and found.visible == python_calamine.SheetVisibleEnum.Visible
            ]
    except _DAMAGED as error:
        raise _damaged(name) from error
    except BaseException as error:
        if type(error).__name__ != "PanicException":  # the library's own stand outside Exception
            raise
        raise _damaged(name) from error


def _is_ods(archive: zipfile.ZipFile) -> bool:
    try:
        with archive.open(_MIME) as stream:
            return stream.read(200).strip() == _SPREADSHEET
    except KeyError:
        return False


def _rows(workbook: python_calamine.CalamineWorkbook, sheet: str) -> list[list[object]]:
    return workbook.get_sheet_by_name(sheet).to_python(skip_empty_area=False)  # type: ignore[return-value]


def _plain(cell: object) -> object:
    """A duration is a time of day or hours; the rest is as it is."""
    return str(cell) if isinstance(cell, dt.timedelta) else cell


def _damaged(name: str) -> UnreadableFile:
    return UnreadableFile(
        "damaged",
        f"{name} is damaged or was not brought whole. Open it in your spreadsheet program, save it "
        "again, and bring that.",
    )


def _check(parts: Parts, name: str) -> None:
    if b"encryption-data" in b"".join(parts.pieces(_MANIFEST)):
        raise UnreadableFile(
            "protected",
            f"{name} is protected by a password, so it cannot be read. Take the password off in your "
            "spreadsheet program, save it, and bring it again.",
        )
    reach = _Reach()
    try:
        reach.look.read(parts.pieces(_CONTENT))
    except BrokenMarkup as error:
        raise _damaged(name) from error
    if reach.cells > MOST_CELLS:
        raise UnreadableFile(
            "too_many_cells",
            f"{name} reaches over {reach.cells:,} cells, and at most {MOST_CELLS:,} are read. Delete what is "
            "far out, or split it into several files.",
        )


class _Reach:
    """Counts the cells that hold something, as often as they and their rows are repeated."""

    def __init__(self) -> None:
        self.cells = 0
        self._row = self._width = self._waiting = 1
        self.look = Look()
        self.look.acts = {
            "table-row": self._begins_row,
            "table-cell": self._cell,
            "covered-table-cell": self._cell,
        }

    def _begins_row(self, attributes: dict[str, str]) -> None:
        self._row = _repeated(attributes, "table:number-rows-repeated")
        self._waiting = 0

    def _cell(self, attributes: dict[str, str]) -> None:
        self._waiting += _repeated(attributes, "table:number-columns-repeated")
        if any(name.startswith("office:") for name in attributes):
            self.cells += self._waiting * self._row  # with the empty ones before it
            self._waiting = 0


def _repeated(attributes: dict[str, str], name: str) -> int:
    text = attributes.get(name, "1")
    return int(text) if text.isdecimal() and len(text) < 9 else 1
