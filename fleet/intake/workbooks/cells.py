"""The cells of one sheet as their markup tells them: how far they reach, errors, months, texts."""

from __future__ import annotations

import datetime as dt
from array import array
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from string import ascii_letters, digits

from fleet.intake.problems import CellError
from fleet.intake.stamps import MonthCell

from .markup import BrokenMarkup, Look

NO_VALUE = CellError("no stored value; open the workbook and save it again")


_LONGEST_PLACE = 15


@dataclass(slots=True)
class SheetMarks:
    """Cells of a sheet (row and column from 0) whose content the library does not tell."""

    errors: list[CellError] = field(default_factory=list)
    error_places: array[int] = field(default_factory=lambda: array("Q"))
    month_places: array[int] = field(default_factory=lambda: array("Q"))

    def __bool__(self) -> bool:
        return bool(self.error_places or self.month_places)

    def add_error(self, row: int, column: int, error: CellError) -> None:
        self.errors.append(error)
        self.error_places.extend((row, column))

    def add_month(self, row: int, column: int) -> None:
        self.month_places.extend((row, column))

    def put_into(self, rows: list[list[object]]) -> None:
        """This will replace those cells: errors by :class:`CellError`, months by their month."""
        for row, column, error in zip(*_both(self.error_places), self.errors, strict=True):
            rows += ([] for _ in range(row + 1 - len(rows)))
            rows[row] += [""] * (column + 1 - len(rows[row]))
            rows[row][column] = error
        for row, column in zip(*_both(self.month_places), strict=True):
            cell = rows[row][column] if row < len(rows) and column < len(rows[row]) else None
            if isinstance(cell, dt.date):
                on = cell.date() if isinstance(cell, dt.datetime) else cell
                rows[row][column] = MonthCell(on)


def _both(places: array[int]) -> tuple[array[int], array[int]]:
    return places[::2], places[1::2]


def letter_of(column: int) -> str:
    """``A`` for 0, ``AA`` for 26."""
    letters = ""
    while column >= 0:
        letters = chr(65 + column % 26) + letters
        column = column // 26 - 1
    return letters


_COLUMNS = {letter_of(column): column for column in range(26 * 27)}


def place_of(reference: str) -> tuple[int, int]:
    """Row and column from 0 of a cell such as ``C17``. Raises :class:`BrokenMarkup`."""
    letters = reference.rstrip(digits)
    column = _COLUMNS.get(letters)
    if column is None:
        if not letters or letters.strip(ascii_letters) or len(letters) > _LONGEST_PLACE:
            raise BrokenMarkup("a cell's place is none")
        column = -1
        for letter in letters.upper():
            column = (column + 1) * 26 + ord(letter) - 65
    return row_of(reference[len(letters) :]), column


def row_of(number: str) -> int:
    """A row from 0, given from 1. Raises :class:`BrokenMarkup`."""
    if not number or number.strip(digits) or len(number) > _LONGEST_PLACE or int(number) < 1:
        raise BrokenMarkup("a row's number is none")
    return int(number) - 1


class Cells(Look):
    """Sees a sheet's cells, and gathers the ``marks`` of those that hold more than a plain value.

    If asked for the ``reach``, every cell is looked at, not only those: ``rows`` and ``columns`` up
    to the last one that holds something (formatted blanks do no harm), and ``text``, how long the
    shared texts of all cells are together, where ``lengths`` says how long each is.
    """

    def __init__(
        self,
        months: frozenset[str] = frozenset(),
        *,
        reach: bool = False,
        lengths: Sequence[int] = (),
    ) -> None:
        super().__init__()
        self.acts = {
            "row": self._row_begins,
            "c": self._cell_begins,
            "f": self._formula_begins,
            "v": self._value_begins,
            "is": self._inline_begins,
        }
        self.marks = SheetMarks()
        self.rows = self.columns = self.text = 0
        self._months, self._lengths, self._all = months, lengths, reach
        self._row = -1
        self._reference, self._behind = "", 0  # the last place that was named, cells since then
        self._cell: dict[str, str] = {}
        self._is_watched = self._is_formula = self._has_value = False
        self._value = ""

    def read(self, pieces: Iterable[bytes]) -> None:
        super().read(pieces)
        self._close()

    def _row_begins(self, attributes: dict[str, str]) -> None:
        self._close()
        number = attributes.get("r")
        self._row = row_of(number) if number else self._row + 1
        self._reference, self._behind = "", 0

    def _cell_begins(self, attributes: dict[str, str]) -> None:
        if self._is_watched:
            self._close()
        self._cell = attributes
        if "r" in attributes:
            self._reference, self._behind = attributes["r"], 0
        else:
            self._behind += 1
        self._is_watched = (
            attributes.get("s") in self._months or attributes.get("t") == "e" or self._all
        )

    def _formula_begins(self, attributes: dict[str, str]) -> None:
        if self.parent == "c":
            self._is_watched = self._is_formula = True
            self._has_value, self._value = False, ""
            self.parser.CharacterDataHandler = None

    def _value_begins(self, attributes: dict[str, str]) -> None:
        if self._is_watched:
            self._has_value, self._value = True, ""
            self.parser.CharacterDataHandler = self._hear

    def _inline_begins(self, attributes: dict[str, str]) -> None:
        if self.parent == "c":
            self._has_value, self._value = True, "there"

    def _hear(self, data: str) -> None:
        self._value += data

    def _place(self) -> tuple[int, int]:
        """A cell's place is its own, whatever its row's; without one it stands behind the one before."""
        if not self._reference:
            return self._row, self._behind - 1
        row, column = place_of(self._reference)
        return (self._row, column + self._behind) if self._behind else (row, column)

    def _close(self) -> None:
        """This will note what is told of a watched cell, now that its text has been heard."""
        if not self._is_watched:
            return
        self.parser.CharacterDataHandler = None
        (row, column), value = self._place(), self._value.strip()
        kind = self._cell.get("t")
        is_month = self._has_value and self._cell.get("s") in self._months
        if kind == "e" or (self._is_formula and not value):
            error = CellError(value or "#ERROR!") if kind == "e" else NO_VALUE
            self.marks.add_error(row, column, error)
        elif is_month:
            self.marks.add_month(row, column)
        elif not self._has_value:
            column = row = -1  # a formatted blank
        if kind == "s" and self._has_value and self._lengths:
            self.text += self._length(value)
        self.rows, self.columns = max(self.rows, row + 1), max(self.columns, column + 1)
        self._is_watched = self._is_formula = self._has_value = False
        self._cell, self._value = {}, ""

    def _length(self, value: str) -> int:
        """How long a cell's text is; the library takes what is no number for the first of them."""
        try:
            return self._lengths[int(value)]
        except (ValueError, IndexError):
            return self._lengths[0]
