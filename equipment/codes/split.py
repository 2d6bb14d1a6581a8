"""A message to its elements: where the separators are lost, only what can be told apart for certain."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from .identifiers import DATA, DATA_LENGTHS, TEXT
from .mark import Doubt, Element
from .separators import GS

_DATA = re.compile(r"[0-9]{0,3}[A-Z]")
_TEXT = re.compile(r"([A-Z]{3}) +")
# Python counts the separators themselves as white space, so blanks are named.
_BLANKS = (" ", "\t", "\n")

NOT_CERTAIN = (
    "Where one fact ends and the next begins is not certain. Let the scanner send its group separators,"
    " or type the part number and serial number from the plate."
)


@dataclass(slots=True)
class Parts:
    """What a message falls into, and what is doubtful about it."""

    elements: list[Element] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)

    def doubt(self, code: str, message: str) -> None:
        self.doubts.append(Doubt(code, message))


def data_elements(body: str, mark: str, parts: Parts) -> None:
    """Format 06: a data identifier and its value between separators. ``mark`` is what stands for the
    separator, empty where nothing does."""
    pieces = [piece for piece in body.split(mark or GS) if piece]
    if not mark and len(pieces) == 1:
        _unseparated_data(pieces[0], parts)
        return
    for piece in pieces:
        found = _DATA.match(piece)
        is_element = found is not None and found.end() < len(piece)
        if mark != GS and not (is_element and found and found[0] in DATA):
            _not_cut_here(piece, parts)
        elif not is_element or found is None:
            parts.doubt("not_an_element", f"“{piece}” has no identifier with a value.")
        else:
            # Exactly one identifier comes off: a value may begin with the same letter.
            parts.elements.append(Element(found[0], piece[found.end() :]))


def _not_cut_here(piece: str, parts: Parts) -> None:
    """What is no known fact may be the end of the one before it: then neither is told."""
    words = f"“{piece}” is no known fact"
    if parts.elements:
        before = parts.elements.pop()
        words += f", and may belong to {before.identifier} {before.value}"
    parts.doubt("split_not_certain", f"{words}. {NOT_CERTAIN}")


def _unseparated_data(text: str, parts: Parts) -> None:
    """Cuts off what has a known length; the rest is one element only if no other can begin in it."""
    while (found := _DATA.match(text)) and found[0] in DATA_LENGTHS:
        end = found.end() + DATA_LENGTHS[found[0]]
        if len(text) < end:
            break
        parts.elements.append(Element(found[0], text[found.end() : end]))
        text = text[end:]
    if not text:
        return
    found = _DATA.match(text)
    if (
        found
        and found[0] in DATA
        and found.end() < len(text)
        and not _may_begin(text[found.end() :])
    ):
        parts.elements.append(Element(found[0], text[found.end() :]))
        return
    parts.doubt("split_not_certain", f"“{text}”: {NOT_CERTAIN}")


def _may_begin(value: str) -> bool:
    """Whether some known identifier with a value could stand inside, after at least one character."""
    return any(
        value.startswith(identifier, at) and at + len(identifier) < len(value)
        for identifier in DATA
        for at in range(1, len(value))
    )


def text_elements(body: str, mark: str, parts: Parts) -> None:
    """Format 12: three letters, a space, the value. A space shows where an identifier ends, so that
    facts can be told apart also where separators were lost or became spaces."""
    pieces = [body] if mark in _BLANKS else body.split(mark or GS)
    for piece in pieces:
        if piece:
            _text_piece(piece, mark, parts)


def _text_piece(piece: str, mark: str, parts: Parts) -> None:
    starts = [found for found in _TEXT.finditer(piece) if found[1] in TEXT]
    if mark == GS and len(starts) <= 1 and _TEXT.match(piece):
        parts.elements.append(Element(piece[:3], piece[4:].strip()))
        return
    ends = [found.start() for found in starts[1:]] + [len(piece)]
    values = [piece[one.end() : end].strip() for one, end in zip(starts, ends, strict=False)]
    if not starts or starts[0].start() or any(not value or " " in value for value in values):
        parts.doubt("split_not_certain", f"“{piece}”: {NOT_CERTAIN}")
        return
    parts.elements += [Element(one[1], value) for one, value in zip(starts, values, strict=True)]
    if len(starts) > 1 and mark == GS:
        parts.doubt(
            "separators_lost", "A separator was lost between facts: compare them with the plate."
        )
