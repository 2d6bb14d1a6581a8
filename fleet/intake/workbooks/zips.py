"""A workbook's zip, taken apart with care: nothing that its directory says is believed unread."""

from __future__ import annotations

import copy
import zipfile
from collections.abc import Iterator

from fleet.intake.problems import UnreadableFile

MOST_UNPACKED = 512 * 2**20
#: So much may be unpacked of the smallest file, and so many times its size of a larger one.
ALWAYS_UNPACKED = 10 * 2**20
MOST_FOLDS = 100
MOST_PARTS = 5_000
_PIECE = 2**17
_LONGEST_TAG = 2**20  # with the text before it; a cell holds 32,767 characters


class Parts:
    """The parts of a workbook by their names, as the reader library finds them: in any case."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self._parts = {plain_name(part.filename): part for part in archive.infolist()}

    def __contains__(self, name: str) -> bool:
        return plain_name(name) in self._parts

    @property
    def names(self) -> list[str]:
        return list(self._parts)

    @property
    def unpacked(self) -> int:
        return sum(part.file_size for part in self._parts.values())

    def size(self, name: str) -> int:
        """How many bytes a part unpacks to; 0 for one that is not there."""
        part = self._parts.get(plain_name(name))
        return part.file_size if part else 0

    def pieces(self, name: str, end: bytes = b">") -> Iterator[bytes]:
        """A part from its first byte to its last, cut behind ``end`` if one is near, else behind a
        ``>``, so that each tag is in one piece.

        Nothing of a part that is not there. Raises ``BadZipFile`` for a part that is longer or
        shorter than the directory says (one more byte than that is asked for), and for text of
        two bytes a letter, in which the library would see no cell.
        """
        part = self._parts.get(plain_name(name))
        if part is None:
            return
        asked = copy.copy(part)
        asked.file_size += 1
        left, kept = part.file_size, b""
        with self._archive.open(asked) as stream:
            while piece := stream.read(_PIECE):
                left -= len(piece)
                kept += piece
                cut = kept.rfind(end) + len(end)
                if cut < len(end):
                    cut = kept.rfind(b">") + 1
                if left < 0 or b"\0" in piece or len(kept) - cut > _LONGEST_TAG:
                    raise zipfile.BadZipFile(f"{part.filename} is not what it is said to be")
                if cut:
                    yield kept[:cut]
                    kept = kept[cut:]
        if left:
            raise zipfile.BadZipFile(f"{part.filename} is shorter than the directory says")
        if kept:
            yield kept


def plain_name(name: str) -> str:
    """A part's name as names are compared: in small letters, its folders set apart by ``/``."""
    return name.replace("\\", "/").lower()


def check_directory(
    archive: zipfile.ZipFile, name: str, size: int, book: str = "xl/workbook.xml"
) -> None:
    """This will refuse, by the zip's own directory, what is no workbook or unpacks too large.

    ``size`` is the file's own, in bytes; ``book`` the part that a workbook of this sort has.
    """
    parts = archive.infolist()
    names = {plain_name(part.filename) for part in parts}
    if book not in names:
        what = (
            "a workbook of another kind"
            if names & {"xl/workbook.bin", "content.xml"}
            else "a zip file, not a workbook"
        )
        raise UnreadableFile(
            "not_a_workbook", f"{name} is {what}. Save it as an Excel workbook (.xlsx) or as CSV."
        )
    _check_size(sum(part.file_size for part in parts), len(parts), name, size)
    if any(part.flag_bits & 1 for part in parts):
        raise UnreadableFile("protected", f"{name} is protected by a password. Take it off.")
    packings = {part.compress_type for part in parts}
    if len(names) < len(parts) or packings - {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
        raise zipfile.BadZipFile("two parts of one name, or packed as no workbook is")


def _check_size(unpacked: int, parts: int, name: str, size: int) -> None:
    if unpacked > MOST_UNPACKED or parts > MOST_PARTS:
        raise UnreadableFile(
            "unpacks_too_large",
            f"{name} unpacks to {unpacked / 2**20:.0f} MB in {parts} parts, more than is read "
            f"({MOST_UNPACKED // 2**20} MB). Split it into several files.",
        )
    if unpacked > max(ALWAYS_UNPACKED, MOST_FOLDS * size):
        raise UnreadableFile(
            "unpacks_too_large",
            f"{name} unpacks to {unpacked / size:.0f} times its size, which no list of equipment does. "
            "Copy its lines into a new workbook and bring that.",
        )
