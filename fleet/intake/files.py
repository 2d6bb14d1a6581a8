"""What was brought, opened with care: size, kind and contents are looked at before it is read."""

from __future__ import annotations

import csv
import io
import zipfile
import zlib
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import python_calamine

from fleet.intake.workbooks.xlsx import MOST_CELLS, SheetMarks, check_sheets, marks_of
from fleet.intake.workbooks.zips import check_directory

from .problems import UnreadableFile

MOST_BYTES = 64 * 2**20
MOST_LINES = 3_000_000
_ZIP, _OLE, _PDF = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", b"%PDF"
_WORKBOOK = frozenset({".xlsx", ".xlsm"})
_LEGACY = "Save it as an Excel workbook (.xlsx) or as CSV and bring that."


@dataclass(slots=True)
class RawSheet:
    """The cells of one sheet from its first row on; row ``i`` of ``rows`` is line ``i + 1``."""

    name: str
    rows: list[list[object]]
    is_csv: bool = False


def read_file(path: Path, name: str, most_bytes: int = MOST_BYTES) -> list[RawSheet]:
    """This will read every visible sheet of a workbook, or the one of a CSV file.

    ``name`` is the file's name as brought. Raises :class:`UnreadableFile` with one sentence for a
    file that is too large, empty, damaged, protected, or neither workbook nor CSV.
    """
    size = path.stat().st_size
    if size > most_bytes:
        raise UnreadableFile(
            "file_too_large",
            f"{name} has {size / 2**20:.0f} MB, and at most {most_bytes / 2**20:.0f} MB are read. "
            "Split it into several files and bring them together.",
        )
    if size == 0:
        raise UnreadableFile("file_empty", f"{name} is empty. Save it again and bring it anew.")
    with path.open("rb") as opened:
        head = opened.read(8)
    if head.startswith(_ZIP):
        return _read_workbook(path, name)
    if head.startswith(_OLE):
        raise _in_old_container(path, name)
    if head.startswith(_PDF) or Path(name).suffix.lower() in _WORKBOOK:
        raise UnreadableFile(
            "not_a_workbook", f"{name} is not a workbook, whatever its name says. {_LEGACY}"
        )
    return [_read_csv(path, name)]


def _in_old_container(path: Path, name: str) -> UnreadableFile:
    """What an old container holds by the names in its directory: a locked workbook, or an old one."""
    content = path.read_bytes()
    if "EncryptedPackage".encode("utf-16-le") in content:
        return UnreadableFile(
            "protected",
            f"{name} is protected by a password, so it cannot be read. Take the password off in your "
            "spreadsheet program, save it, and bring it again.",
        )
    if any(stream.encode("utf-16-le") in content for stream in ("Workbook", "Book")):
        return UnreadableFile(
            "old_workbook",
            f"{name} is a workbook of the old kind (.xls), which is not read. Open it in your spreadsheet "
            "program, choose Save as, take Excel workbook (.xlsx), and bring that file.",
        )
    return UnreadableFile(
        "not_a_workbook", f"{name} is not a workbook, whatever its name says. {_LEGACY}"
    )


#: What a damaged workbook raises, in the zip's reader or in the library's.
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    RuntimeError,  # also NotImplementedError: an unknown way of packing
    ValueError,
    python_calamine.CalamineError,
)


def _read_workbook(path: Path, name: str) -> list[RawSheet]:
    try:
        with zipfile.ZipFile(path) as archive:
            check_directory(archive, name, path.stat().st_size)
            looked = check_sheets(archive, name)
        # The library lets others run while it reads.
        with (
            ThreadPoolExecutor(1) as beside,
            python_calamine.load_workbook(str(path)) as workbook,
        ):
            marks = beside.submit(marks_of, path, looked)
            sheets = [
                found.name
                for found in workbook.sheets_metadata
                if found.typ == python_calamine.SheetTypeEnum.WorkSheet
                and found.visible == python_calamine.SheetVisibleEnum.Visible
            ]
            if not looked.parts.keys() >= set(sheets):
                raise _damaged(name)  # the library found a sheet where nobody has looked
            return [RawSheet(sheet, _rows_of(workbook, sheet, marks)) for sheet in sheets]
    except _DAMAGED as error:
        raise _damaged(name) from error
    except BaseException as error:
        # The library's own panics stand outside Exception; a file may not stop the program.
        if type(error).__name__ != "PanicException":
            raise
        raise _damaged(name) from error


def _damaged(name: str) -> UnreadableFile:
    return UnreadableFile(
        "damaged",
        f"{name} is damaged or was not brought whole. Open it in your spreadsheet program, save it "
        "again as a workbook (.xlsx), and bring that.",
    )


def _rows_of(
    workbook: python_calamine.CalamineWorkbook, sheet: str, marks: Future[dict[str, SheetMarks]]
) -> list[list[object]]:
    """The cells as the library reads them, with the errors and month cells that it does not tell."""
    rows: list[list[object]] = workbook.get_sheet_by_name(sheet).to_python(  # type: ignore[assignment]
        skip_empty_area=False
    )
    if found := marks.result().get(sheet):
        found.put_into(rows)
    return rows


def _read_csv(path: Path, name: str) -> RawSheet:
    raw = path.read_bytes()
    text = _decoded(raw, name)
    if "\x00" in text:
        raise UnreadableFile("not_a_text", f"{name} is neither a workbook nor a CSV. {_LEGACY}")
    head = text[:20_000]
    lines = [line for line in head.splitlines() if line.strip()][:20]
    mark = max(
        ";\t,",
        key=lambda m: sorted(line.count(m) for line in lines)[len(lines) // 2] if lines else 0,
    )
    _check_count(text, mark, name)
    csv.field_size_limit(1_000_000)
    try:
        rows: list[list[object]] = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark))  # type: ignore[arg-type]
    except csv.Error as error:
        raise UnreadableFile(
            "damaged_csv", f"{name} cannot be read as CSV ({error}). Save it again as CSV."
        ) from error
    return RawSheet(Path(name).stem, rows, is_csv=True)


def _check_count(text: str, mark: str, name: str) -> None:
    """Of the shortest lines and cells a file may hold many millions, each an object when read."""
    lines = max(text.count("\n"), text.count("\r"))
    cells = lines + text.count(mark)
    if lines > MOST_LINES or cells > MOST_CELLS:
        raise UnreadableFile(
            "too_many_cells",
            f"{name} has {lines:,} lines and {cells:,} cells, and at most {MOST_LINES:,} and {MOST_CELLS:,} are "
            "read. Split it into several files and bring them together.",
        )


def _decoded(raw: bytes, name: str) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise UnreadableFile(
        "not_a_text", f"{name} is neither a workbook nor a CSV in UTF-8 or Western text. {_LEGACY}"
    )
