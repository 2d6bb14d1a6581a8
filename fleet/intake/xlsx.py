"""What the reader library does not tell of a workbook, taken from its parts before it is read.

The library holds a sheet as one block from its first to its last cell, so that one stray cell far
out would need more memory than there is; it gives a formula's error as a blank; and it does not say
that a date cell shows its month only. Each part is inflated and scanned once for these.
"""

from __future__ import annotations

import datetime as dt
import html
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from .problems import CellError, UnreadableFile
from .stamps import MonthCell

MOST_UNPACKED = 512 * 2**20
MOST_PARTS = 5_000
MOST_CELLS = 12_000_000
NO_VALUE = CellError("no stored value; open the workbook and save it again")

_TAG = re.compile(r"<(?:\w+:)?(\w+)\s([^<>]*?)/?>")
_ATTRIBUTE = re.compile(r"([\w:]+)\s*=\s*(?:\"([^\"]*)\"|'([^']*)')")
# Of cells and rows alike: the library takes a cell's own place for true, whatever its row says.
_FAR_DOWN = re.compile(rb" r *= *[\"'][A-Za-z]*(\d{6,})")
_WIDE = re.compile(rb" r *= *[\"']([A-Za-z]{2,})\d")
_FILLED = re.compile(
    rb" r *= *[\"']([A-Za-z]+)(\d+)[\"'][^>]*> *"
    rb"(?:<(?:\w+:)?f[^<]*</(?:\w+:)?f>|<(?:\w+:)?f[^<]*/>)? *<(?:\w+:)?(?:v|is)\b"
)
_CELL = re.compile(rb"<(?:\w+:)?c(?= |>)")
# Two quick looks whether any cell may name no place, and a careful one.
_MAYBE_PLACELESS = re.compile(rb"<c[ >](?!r)"), re.compile(rb":c[ >](?!r)")
_PLACELESS = re.compile(_CELL.pattern + rb"(?![^>]* r *=)")
_ROW = re.compile(rb"<(?:\w+:)?row (?:[^>]* )?r *= *[\"'](\d+)")
_WHITE = bytes.maketrans(b"\t\r\n", b"   ")
_ERROR = re.compile(rb"<(?:\w+:)?c ([^>]*\bt=[\"']e[\"'][^>]*)>(.*?)</(?:\w+:)?c>", re.S)
_UNSAVED = re.compile(
    rb"<(?:\w+:)?c ([^>]*)>(?:<f[^<]*</f>|<f[^<]*/>)(?:<v></v>|<v ?/>)?</(?:\w+:)?c>"
)
_VALUE = re.compile(rb"<(?:\w+:)?v>([^<]*)<")
_PLACE = re.compile(rb"\br=[\"']([A-Z]{1,3})(\d+)[\"']")
_QUOTED = re.compile(r"\"[^\"]*\"|\\.|\[[^\]]*\]|_.")


@dataclass(slots=True)
class SheetMarks:
    """Cells of a sheet (row and column from 0) whose content the library does not tell."""

    errors: list[tuple[int, int, CellError]] = field(default_factory=list)
    months: list[tuple[int, int]] = field(default_factory=list)

    def put_into(self, rows: list[list[object]]) -> None:
        """This will replace those cells: errors by :class:`CellError`, months by their month."""
        for row, column, error in self.errors:
            if row < len(rows) and column < len(rows[row]):
                rows[row][column] = error
        for row, column in self.months:
            cell = rows[row][column] if row < len(rows) and column < len(rows[row]) else None
            if isinstance(cell, dt.date):
                on = cell.date() if isinstance(cell, dt.datetime) else cell
                rows[row][column] = MonthCell(on)


def check_directory(archive: zipfile.ZipFile, name: str) -> None:
    """This will refuse, by the zip's own directory, what is no workbook or unpacks too large."""
    parts = archive.infolist()
    names = {part.filename for part in parts}
    if "xl/workbook.xml" not in names:
        what = (
            "a workbook of another kind"
            if names & {"xl/workbook.bin", "content.xml"}
            else "a zip file, not a workbook"
        )
        raise UnreadableFile(
            "not_a_workbook", f"{name} is {what}. Save it as an Excel workbook (.xlsx) or as CSV."
        )
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MOST_UNPACKED or len(parts) > MOST_PARTS:
        raise UnreadableFile(
            "unpacks_too_large",
            f"{name} unpacks to {unpacked / 2**20:.0f} MB in {len(parts)} parts, more than is read "
            f"({MOST_UNPACKED // 2**20} MB). Split it into several files.",
        )
    if any(part.flag_bits & 1 for part in parts):
        raise UnreadableFile("protected", f"{name} is protected by a password. Take it off.")


def check_sheets(archive: zipfile.ZipFile, name: str) -> None:
    """This will refuse (:class:`UnreadableFile`) a sheet too large to hold, before it is held."""
    for sheet, part in _parts_of_sheets(archive):
        _check_extent(_xml_of(archive, part), name, sheet)
    for part in archive.namelist():
        if part.endswith("sharedStrings.xml"):
            with archive.open(part) as stream:  # a part that lies about its size fails here
                while stream.read(1 << 20):
                    pass


def marks_of(path: Path) -> dict[str, SheetMarks]:
    """The marks of each sheet by its name."""
    found = {}
    with zipfile.ZipFile(path) as archive:
        month_styles = _month_styles(archive)
        for sheet, part in _parts_of_sheets(archive):
            xml = _xml_of(archive, part)
            marks = SheetMarks(list(_errors_in(xml)), list(_months_in(xml, month_styles)))
            if marks.errors or marks.months:
                found[sheet] = marks
    return found


def _xml_of(archive: zipfile.ZipFile, part: str) -> bytes:
    """A sheet with spaces for its other white space, so that each mark is looked for in one way."""
    xml = archive.read(part)
    begins = xml.find(b"<", xml.find(b"?>") + 1)
    if any(xml.find(white, begins) >= 0 for white in (b"\n", b"\t", b"\r")):
        xml = xml.translate(_WHITE)
    return xml


def place_of(letters: bytes, number: bytes) -> tuple[int, int]:
    """Row and column from 0 of a cell such as ``C17``."""
    column = 0
    for letter in letters.upper():
        column = column * 26 + letter - 64
    return int(number) - 1, column - 1


def letter_of(column: int) -> str:
    """``A`` for 0, ``AA`` for 26."""
    letters = ""
    while column >= 0:
        letters = chr(65 + column % 26) + letters
        column = column // 26 - 1
    return letters


def _tags(xml: str, wanted: str) -> Iterator[dict[str, str]]:
    for tag in _TAG.finditer(xml):
        if tag[1] == wanted:
            yield {
                key: html.unescape(one or other) for key, one, other in _ATTRIBUTE.findall(tag[2])
            }


def _text(archive: zipfile.ZipFile, part: str) -> str:
    try:
        return archive.read(part).decode("utf-8", "replace")
    except KeyError:
        return ""


def _parts_of_sheets(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    targets = {
        tag.get("Id", ""): tag.get("Target", "")
        for tag in _tags(_text(archive, "xl/_rels/workbook.xml.rels"), "Relationship")
    }
    present = set(archive.namelist())
    for tag in _tags(_text(archive, "xl/workbook.xml"), "sheet"):
        key = next((value for name, value in tag.items() if name.endswith(":id")), "")
        target = targets.get(key, "")
        part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        if part in present and "worksheets/" in part:
            yield tag.get("name", ""), part


def _check_extent(xml: bytes, name: str, sheet: str) -> None:
    last_row = max(map(int, _FAR_DOWN.findall(xml)), default=99_999)
    wide = [place_of(letters, b"1")[1] for letters in set(_WIDE.findall(xml))]
    is_small = last_row * (max(wide, default=25) + 1) <= MOST_CELLS
    if is_small and not any(maybe.search(xml) for maybe in _MAYBE_PLACELESS):
        return
    rows, columns = _reach(xml)
    if rows * columns > MOST_CELLS:
        raise UnreadableFile(
            "sheet_too_wide",
            f"Sheet '{sheet}' of {name} reaches down to row {rows} and across to column {letter_of(columns - 1)}: a stray "
            "cell far out makes it too large to read. Delete the rows and columns beyond your lines.",
        )


def _reach(xml: bytes) -> tuple[int, int]:
    """How far down and across the cells go that hold something; formatted blanks do no harm."""
    places = [place_of(letters, number) for letters, number in _FILLED.findall(xml)]
    rows, columns = (max((place[i] for place in places), default=0) + 1 for i in (0, 1))
    if _PLACELESS.search(xml):  # such cells stand side by side from the start of their row
        rows = max(rows, *map(int, _ROW.findall(xml)), 1)
        in_rows = re.split(rb"<(?:\w+:)?row\b", xml)
        columns = max(columns, *(len(_CELL.findall(row)) for row in in_rows))
    return rows, columns


def _errors_in(xml: bytes) -> Iterator[tuple[int, int, CellError]]:
    if b'"e"' in xml or b"'e'" in xml:
        for attributes, inner in _ERROR.findall(xml):
            if place := _PLACE.search(attributes):
                value = _VALUE.search(inner)
                error = value[1].decode("ascii", "replace") if value else "#ERROR!"
                yield *place_of(place[1], place[2]), CellError(error)
    if b"<f" in xml:
        for attributes in _UNSAVED.findall(xml):
            if place := _PLACE.search(attributes):
                yield *place_of(place[1], place[2]), NO_VALUE


def _months_in(xml: bytes, styles: list[int]) -> Iterator[tuple[int, int]]:
    if styles:
        any_style = b"|".join(str(style).encode() for style in styles)
        cell = re.compile(rb"<(?:\w+:)?c ([^>]*\bs=[\"'](?:" + any_style + rb")[\"'][^>]*)>")
        for attributes in cell.findall(xml):
            if place := _PLACE.search(attributes):
                yield place_of(place[1], place[2])


def _month_styles(archive: zipfile.ZipFile) -> list[int]:
    """The cell styles whose number format shows month and year and no day."""
    xml = _text(archive, "xl/styles.xml")
    formats = {17}  # built in: mmm-yy
    for tag in _tags(xml, "numFmt"):
        shape = _QUOTED.sub("", tag.get("formatCode", "")).lower()
        if "m" in shape and "y" in shape and not set("dhs") & set(shape):
            formats.add(int(tag.get("numFmtId") or 0))
    _, _, styles = xml.partition("cellXfs")
    styles, _, _ = styles.partition("cellXfs>")
    found = enumerate(_tags(styles, "xf"))
    return [i for i, tag in found if int(tag.get("numFmtId") or 0) in formats]
