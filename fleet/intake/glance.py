"""A glance at the bytes of a part: whether it has to be read as markup before the library reads it.

It may say *perhaps* where nothing is, never *nothing* where something is: a cell can only be what
the library takes for one, and that is searched for wherever it stands, in comments and texts too.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

_Bytes = npt.NDArray[np.uint8]
_Numbers = npt.NDArray[np.int64]

# Either quote is one, any white space is one, and what a name may begin behind is one.
_SHAPE = bytes.maketrans(b"'\t\r\n/>:", b'"     <')
_CELL, _PLACE = b"<c ", b'r="'
_OTHERS = b'"e"', b"<f", b"<!"
_QUOTE = ord('"')
_LONGEST = 8  # letters or digits of a place; more is far beyond any sheet
_BEYOND = bytes(3 * _LONGEST)


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

    ``is_clear`` is false where a cell may stand further out than it seems; ``has_others`` is true
    where a cell may hold an error or a formula, and where not all is plain markup.
    """

    cells: int = 0
    rows: int = 0
    columns: int = 0
    is_clear: bool = True
    has_others: bool = False


def glance_at(pieces: Iterable[bytes]) -> Glance:
    """This will look over a sheet's part, whose ``pieces`` each end behind a tag."""
    seen = Glance()
    for piece in pieces:
        shape = piece.translate(_SHAPE)
        seen.has_others = seen.has_others or any(other in shape for other in _OTHERS)
        seen.is_clear = _count_cells(shape + _BEYOND, seen) and seen.is_clear
    return seen


def _count_cells(shape: bytes, seen: Glance) -> bool:
    """Whether each cell names its place first of all, and plainly; they are added to ``seen``."""
    chars = np.frombuffer(shape, np.uint8)
    at = _found(chars, _CELL)
    if not len(at):
        return True
    seen.cells += len(at)
    at += len(_CELL)
    if not all((chars[at + i] == letter).all() for i, letter in enumerate(_PLACE)):
        return False
    at += len(_PLACE)
    columns, rows = _number(chars, at, _LETTERS, 26), _number(chars, at, _DIGITS, 10)
    seen.columns = max(seen.columns, int(columns.max()))
    seen.rows = max(seen.rows, int(rows.max()))
    return bool((chars[at] == _QUOTE).all() and columns.all() and rows.all())


def _found(chars: _Bytes, word: bytes) -> npt.NDArray[np.intp]:
    """Where a word of three letters stands."""
    one, two, three = word
    return np.flatnonzero((chars[:-2] == one) & (chars[1:-1] == two) & (chars[2:] == three))


def _number(chars: _Bytes, at: npt.NDArray[np.intp], values: _Numbers, base: int) -> _Numbers:
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
