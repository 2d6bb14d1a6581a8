"""What the reader library does not tell of a workbook, taken from its parts.

The library holds a sheet as one block from its first to its last cell, so that one stray cell far
out would need more memory than there is, and a shared text anew for each cell that has it; it gives
a formula's error as a blank, and does not say that a date cell shows its month only. So each part is
glanced at before it is read, and read as markup where the glance leaves a doubt.
"""

from __future__ import annotations

import zipfile
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from fleet.intake.problems import UnreadableFile

from .cells import Cells, SheetMarks, letter_of
from .glance import Glance, glance_at, longest_text, may_be_left_out
from .markup import BrokenMarkup, elements, month_styles, text_lengths
from .zips import Parts, plain_name

__all__ = ["Looked", "SheetMarks", "check_sheets", "letter_of", "marks_of"]

#: A workbook's sheets may together reach over so many cells, and over one for each so many bytes.
MOST_CELLS, ALWAYS_CELLS, BYTES_FOR_A_CELL = 12_000_000, 2_000_000, 4
#: The texts of all cells may be so long together, or so many times what the workbook unpacks to.
ALWAYS_TEXT, MOST_TEXT_FOLDS = 64 * 2**20, 8
_ROW_END = b"</row>"
_STRINGS, _STYLES = "xl/sharedstrings.xml", "xl/styles.xml"


@dataclass(frozen=True, slots=True)
class Looked:
    """What was seen of a workbook: its sheets' parts and glances by the sheets' names, month styles."""

    parts: dict[str, str]
    glances: dict[str, Glance]
    months: frozenset[str]


def check_sheets(archive: zipfile.ZipFile, name: str) -> Looked:
    """This will refuse (:class:`UnreadableFile`) sheets too large to hold, before they are held."""
    parts = Parts(archive)
    sheets = _parts_of_sheets(parts)
    months = month_styles(parts.pieces(_STYLES)) if _STYLES in parts else frozenset()
    seen = {part: glance_at(parts.pieces(part), months) for part in _all_sheets(parts, sheets)}
    lengths = _lengths_if_long(parts, sum(glance.cells for glance in seen.values()))
    if lengths or not _are_near(parts, seen.values()):
        names = {part: sheet for sheet, part in sheets.items()}
        _check_closely(parts, {part: names.get(part, part) for part in seen}, lengths, name)
    return Looked(sheets, {sheet: seen[part] for sheet, part in sheets.items()}, months)


def marks_of(path: Path, looked: Looked) -> dict[str, SheetMarks]:
    """The marks of each sheet by its name."""
    with zipfile.ZipFile(path) as archive:
        parts = Parts(archive)
        return {
            sheet: _marks(parts, looked.parts[sheet], glance, looked.months)
            for sheet, glance in looked.glances.items()
        }


def _marks(parts: Parts, part: str, glance: Glance, months: frozenset[str]) -> SheetMarks:
    """The marks of a sheet, read as markup as far as the glance has left a doubt."""
    if not glance.months_are_told:
        cells = Cells(months)
        cells.read(parts.pieces(part))
        return cells.marks
    if not glance.has_others:
        return SheetMarks(month_places=glance.months)
    cells = Cells()
    cells.read(_rows_in_doubt(parts.pieces(part, _ROW_END)))
    cells.marks.month_places = glance.months
    return cells.marks


def _rows_in_doubt(pieces: Iterable[bytes]) -> Iterator[bytes]:
    """A sheet without those whole rows in which nothing can be that has to be read as markup."""
    for piece in pieces:
        if may_be_left_out(piece):
            continue
        *rows, rest = piece.split(_ROW_END)
        for row in rows:
            whole = row + _ROW_END
            if not may_be_left_out(whole):
                yield whole
        yield rest


def _parts_of_sheets(parts: Parts) -> dict[str, str]:
    """The part of each sheet that is there, found as the library finds it."""
    targets = {
        link.get("Id", ""): link.get("Target", "")
        for link in elements(parts.pieces("xl/_rels/workbook.xml.rels"), "Relationship")
    }
    found: dict[str, str] = {}
    for sheet in elements(parts.pieces("xl/workbook.xml"), "sheet"):
        key = next((value for word, value in sheet.items() if word.endswith(":id")), "")
        part = targets.get(key, "").lstrip("/")
        part = plain_name(part if part.startswith("xl/") else f"xl/{part}")
        name = sheet.get("name", "")
        if name in found or part in found.values():
            raise BrokenMarkup("two sheets of one name, or one part for two sheets")
        if part in parts:
            found[name] = part
    return found


def _all_sheets(parts: Parts, sheets: dict[str, str]) -> set[str]:
    """Also the parts that only look like sheets: the library may find its way to them."""
    return {name for name in parts.names if "worksheets/" in name} | set(sheets.values())


def _lengths_if_long(parts: Parts, cells: int) -> Sequence[int]:
    """How long each shared text is, if the longest in every cell would be more than is held."""
    longest = longest_text(parts.pieces(_STRINGS), parts.size(_STRINGS))
    return text_lengths(parts.pieces(_STRINGS)) if cells * longest > _most_text(parts) else ()


def _most_text(parts: Parts) -> int:
    return max(ALWAYS_TEXT, MOST_TEXT_FOLDS * parts.unpacked)


def _most_cells(parts: Parts) -> int:
    return min(MOST_CELLS, max(ALWAYS_CELLS, parts.unpacked // BYTES_FOR_A_CELL))


def _are_near(parts: Parts, seen: Collection[Glance]) -> bool:
    reach = sum(glance.rows * glance.columns for glance in seen)
    return reach <= _most_cells(parts) and all(glance.is_clear for glance in seen)


def _check_closely(parts: Parts, sheets: dict[str, str], lengths: Sequence[int], name: str) -> None:
    """This will read each of ``sheets`` (names by part) as markup, and refuse what is too large."""
    reaches = {}
    text = 0
    for part, sheet in sheets.items():
        cells = Cells(reach=True, lengths=lengths)
        cells.read(parts.pieces(part))
        reaches[sheet] = cells.rows, cells.columns
        text += cells.text
    if sum(rows * columns for rows, columns in reaches.values()) > _most_cells(parts):
        sheet = max(reaches, key=lambda each: reaches[each][0] * reaches[each][1])
        rows, columns = reaches[sheet]
        raise UnreadableFile(
            "sheet_too_wide",
            f"Sheet '{sheet}' of {name} reaches down to row {rows} and across to column {letter_of(columns - 1)}: a stray "
            "cell far out makes it too large to read. Delete the rows and columns beyond your lines.",
        )
    if text > _most_text(parts):
        raise UnreadableFile(
            "text_too_long",
            f"The texts in the cells of {name} come to {text / 2**20:.0f} MB, since a long one stands in very many "
            f"cells; {_most_text(parts) / 2**20:.0f} MB are read. Shorten it, or split the file into several.",
        )
