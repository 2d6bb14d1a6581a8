"""A glance at the bytes of a part: whether it has to be read as markup before the library reads it.

It may say *perhaps* where nothing is, never *nothing* where something is: a cell can only be what
the library takes for one, and that is searched for wherever it stands, in comments and texts too.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

_Bytes = npt.NDArray[np.uint8]
_Numbers = npt.NDArray[np.int64]
_Places = npt.NDArray[np.intp]

# Either quote is one, any white space is one, and what a name may begin behind is one.
_SHAPE = bytes.maketrans(b"'\t\r\n/>:", b'"     <')
_CELL, _PLACE, _STYLE = b"<c ", b'r="', b' s="'
_QUOTE = ord('"')
_LONGEST = 8  # letters or digits of a place; more is far beyond any sheet
_BEYOND = bytes(64)


def _values(characters: str, first: int) -> _Numbers:
    """What each byte counts as a digit, -1 for one that is none; upper and lower case alike."""
    values = np.full(256, -1, np.int64)
    for value, character in enumerate(characters, first):
        values[ord(character)] = values[ord(character.upper())] = value
    return values


_LETTERS = _values("abcdefghijklmnopqrstuvwxyz", 1)
_DIGITS = _values("0123456789", 0)


@dataclass(slots=True)
class Glance:
    """What a sheet has at most: its cells, its last row and column (from 1), other than values.

    ``is_clear`` is false where a cell may stand further out than it seems, ``is_plain`` where not
    all is elements and text. ``has_others`` is true where a cell may hold an error, or a formula of
    which no value is stored. ``months`` are the places of cells that show a month (row and column
    from 0, one after the other): of all of them, if the ``months_are_told``.
    """

    cells: int = 0
    rows: int = 0
    columns: int = 0
    is_clear: bool = True
    is_plain: bool = True
    has_others: bool = False
    months_are_told: bool = True
    months: array[int] = field(default_factory=lambda: array("Q"))


def glance_at(pieces: Iterable[bytes], month_styles: Iterable[str] = ()) -> Glance:
    """This will look over a sheet's part, whose ``pieces`` each end behind a tag."""
    seen = Glance()
    styles = np.array([int(style) for style in month_styles], np.int64)
    for piece in pieces:
        shape = piece.translate(_SHAPE)
        seen.has_others = seen.has_others or _holds_others(piece, shape)
        seen.is_plain = seen.is_plain and b"<!" not in shape
        seen.is_clear = _look_at_cells(shape + _BEYOND, styles, seen) and seen.is_clear
    seen.months_are_told = seen.months_are_told and seen.is_clear and seen.is_plain
    return seen


def may_be_left_out(piece: bytes) -> bool:
    """Whether a piece of a sheet that is clear and plain has only whole rows with no others in them."""
    is_whole = piece.startswith(b"<row") and piece.endswith(b"</row>")
    return is_whole and not _holds_others(piece, piece.translate(_SHAPE))


def _holds_others(piece: bytes, shape: bytes) -> bool:
    """Whether there may be an error, or a formula without a value right behind it."""
    if b'"e"' in shape:
        return True
    formulas = shape.count(b"<f")
    if not formulas:
        return False
    reckoned = piece.count(b"</f><v>") + piece.count(b'"/><v>')  # the latter of a shared formula
    is_blank = b"<v <" in shape or b"<v  " in shape or piece.endswith(b"<v>")
    return is_blank or formulas != reckoned


def _look_at_cells(shape: bytes, styles: _Numbers, seen: Glance) -> bool:
    """Whether each cell names its place first of all, and plainly; they are added to ``seen``."""
    chars = np.frombuffer(shape, np.uint8)
    at = _found(chars, _CELL)
    if not len(at):
        return True
    seen.cells += len(at)
    at += len(_CELL)
    if not _stands(chars, at, _PLACE).all():
        return False
    at += len(_PLACE)
    columns, rows = _number(chars, at, _LETTERS, 26), _number(chars, at, _DIGITS, 10)
    seen.columns = max(seen.columns, int(columns.max()))
    seen.rows = max(seen.rows, int(rows.max()))
    if len(styles):
        shows = _styled(chars, at, styles)
        places = np.column_stack((rows[shows], columns[shows])) - 1
        seen.months.frombytes(places.astype(np.uint64).tobytes())
        seen.months_are_told &= _are_styles_plain(shape, chars, at)
    return bool((chars[at] == _QUOTE).all() and columns.all() and rows.all())


def _styled(chars: _Bytes, at: _Places, styles: _Numbers) -> npt.NDArray[np.bool_]:
    """Which of the cells, whose places end ``at``, have one of these styles named next."""
    numbers = _number(chars, at + 1 + len(_STYLE), _DIGITS, 10)
    return _stands(chars, at + 1, _STYLE) & np.isin(numbers, styles)


def _are_styles_plain(shape: bytes, chars: _Bytes, at: _Places) -> bool:
    """Whether no style is named anywhere but right behind a cell's place."""
    named = int(_stands(chars, at + 1, _STYLE).sum())
    return shape.count(_STYLE) == named and b" s =" not in shape and b" s= " not in shape


def _stands(chars: _Bytes, at: _Places, word: bytes) -> npt.NDArray[np.bool_]:
    """At which places a word stands."""
    stands = np.ones(len(at), np.bool_)
    for i, letter in enumerate(word):
        stands &= chars[at + i] == letter
    return stands


def _found(chars: _Bytes, word: bytes) -> _Places:
    """Where a word of three letters stands."""
    one, two, three = word
    return np.flatnonzero((chars[:-2] == one) & (chars[1:-1] == two) & (chars[2:] == three))


def _number(chars: _Bytes, at: _Places, values: _Numbers, base: int) -> _Numbers:
    """The numbers that stand at ``at``, which is moved behind them."""
    numbers = np.zeros(len(at), np.int64)
    for _ in range(_LONGEST):
        digits = values[chars[at]]
        are_digits = digits >= 0
        if not are_digits.any():
            break
        numbers[are_digits] = numbers[are_digits] * base + digits[are_digits]
        at += are_digits
    return numbers


def longest_text(pieces: Iterable[bytes], size: int) -> int:
    """How many bytes the longest of the shared texts has at most, of a part with ``size`` bytes.

    A text ends where ``</si>`` stands, unless that may stand inside of something else.
    """
    longest = since = 0
    for piece in pieces:
        chars = np.frombuffer(piece, np.uint8)
        angles = chars[(chars == ord("<")) | (chars == ord(">"))]
        if (
            b":si" in piece
            or b"<!" in piece
            or (angles[::2] != ord("<")).any()
            or (angles[1::2] != ord(">")).any()
        ):
            return size
        first, *others = piece.split(b"</si>")
        since += len(first)
        if others:
            longest = max(longest, since, *map(len, others))
            since = len(others[-1])
    return max(longest, since)
