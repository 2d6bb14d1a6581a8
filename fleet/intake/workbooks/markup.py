"""The parts of a workbook read as markup, by the parser of Python's own library.

Asked for what the reader library does not tell. An element costs the same wherever it stands; a
part that declares entities, or whose elements lie in each other without end, is refused.
"""

from __future__ import annotations

import re
from array import array
from collections.abc import Callable, Iterable
from xml.parsers import expat

_MOST_DEEP = 100
_LONGEST_FORMAT = 255  # of a number, as a spreadsheet program takes it
_MONTH_AND_YEAR = "17"  # built in: mmm-yy
_QUOTED = re.compile(r"\"[^\"]*\"|\\.|\[[^\]]*\]|_.")


class BrokenMarkup(ValueError):
    """Raised for a part that no program of good faith writes."""


class Look:
    """Sees each element of a part begin, and does what ``acts`` says for one of that name.

    Names are without what stands before their colon, as the reader library takes them. ``opened``
    are the elements around the one that begins, and itself.
    """

    def __init__(self) -> None:
        self.acts: dict[str, Callable[[dict[str, str]], None]] = {}
        self.opened: list[str] = []
        self.parser = expat.ParserCreate()
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._begins
        self.parser.EndElementHandler = self.opened.remove  # some other of its name does as well
        self.parser.StartDoctypeDeclHandler = _refuse

    def read(self, pieces: Iterable[bytes]) -> None:
        """This will look through a part from end to end. Raises :class:`BrokenMarkup`."""
        try:
            for piece in pieces:
                self.parser.Parse(piece, False)
            self.parser.Parse(b"", True)
        except (expat.ExpatError, LookupError) as error:  # the latter: an encoding nobody knows
            raise BrokenMarkup(str(error)) from error

    @property
    def parent(self) -> str:
        """The name of the element around the one that begins."""
        return _local(self.opened[-2]) if len(self.opened) > 1 else ""

    def _begins(self, tag: str, attributes: dict[str, str]) -> None:
        self.opened.append(tag)
        if len(self.opened) > _MOST_DEEP:
            raise BrokenMarkup("elements in each other without end")
        act = self.acts.get(tag)
        if act is None and ":" in tag:
            act = self.acts.get(_local(tag))
        if act is not None:
            act(attributes)


def _local(tag: str) -> str:
    return tag.rpartition(":")[2]


def _refuse(*declared: object) -> None:
    raise BrokenMarkup("a part may declare nothing of its own")


def elements(pieces: Iterable[bytes], name: str) -> list[dict[str, str]]:
    """The attributes of all elements of that name, in order."""
    look = Look()
    found: list[dict[str, str]] = []
    look.acts[name] = found.append
    look.read(pieces)
    return found


class _Styles(Look):
    """The number formats by their keys, and which of them each style of a cell has."""

    def __init__(self) -> None:
        super().__init__()
        self.acts = {"numFmt": self._format, "xf": self._style}
        self.formats = {_MONTH_AND_YEAR: "mmm-yy"}
        self.styles: list[str] = []

    def _format(self, attributes: dict[str, str]) -> None:
        if self.parent == "numFmts":
            self.formats[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")

    def _style(self, attributes: dict[str, str]) -> None:
        if self.parent == "cellXfs":
            self.styles.append(attributes.get("numFmtId", ""))


def month_styles(pieces: Iterable[bytes]) -> frozenset[str]:
    """The numbers of the cell styles whose number format shows month and year and no day."""
    look = _Styles()
    look.read(pieces)
    months = {key for key, shape in look.formats.items() if _shows_month(shape)}
    return frozenset(str(i) for i, key in enumerate(look.styles) if key in months)


def _shows_month(shape: str) -> bool:
    if len(shape) > _LONGEST_FORMAT:
        return False
    shown = set(_QUOTED.sub("", shape).lower())
    return {"m", "y"} <= shown and not shown & set("dhs")


class _Texts(Look):
    """How long each of the shared texts is, in bytes."""

    def __init__(self) -> None:
        super().__init__()
        self.acts = {"si": self._text_begins}
        self.lengths = array("Q")

    def _text_begins(self, attributes: dict[str, str]) -> None:
        self.lengths.append(0)
        self.parser.CharacterDataHandler = self._hear

    def _hear(self, data: str) -> None:
        self.lengths[-1] += len(data.encode())


def text_lengths(pieces: Iterable[bytes]) -> array[int]:
    """How long each of the shared texts is, in bytes, in order."""
    look = _Texts()
    look.read(pieces)
    return look.lengths
