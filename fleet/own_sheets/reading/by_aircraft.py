"""Sheets with a column, or some, for each aircraft: places down, aircraft across, the unit in the cell between them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fleet.own_sheets.words.crafts import is_spares, registration_in
from fleet.own_sheets.words.days import looks_like_a_day
from fleet.own_sheets.words.heads import head_of, work_in
from fleet.own_sheets.words.items import is_item
from fleet.own_sheets.words.marks import bare, is_filled, lines_in, mark_of, text_in
from fleet.own_sheets.words.places import is_place

from .layout import is_an_end
from .rearranged import Rearranged, Rows

BY_AIRCRAFT = "aircraft across and places down"
_WITHIN = 40
_UNITS = frozenset({"serial", "part_serial"})
SERIAL, DUE, EXPIRY = "S/N", "NEXT DUE", "EXPIRY"
_PART = re.compile(r"\bP/?N[:. ]+(\S*\d\S*)", re.IGNORECASE)
_NUMBER = re.compile(r"(?=.*\d)[A-Z0-9][A-Z0-9/.\- ]{2,24}", re.IGNORECASE)


#: A cell, and the row and column where it stood.
_Placed = tuple[object, tuple[int, int] | None]


class _Across(NamedTuple):
    """The row with the aircraft, each one's column, what stands left of them and below them."""

    row: int
    tails: dict[int, str]
    left: int
    heads: list[str]
    below: dict[int, str]


@dataclass(frozen=True, slots=True)
class _Piece:
    """What a cell without headings of its own tells: a number or a date, and what its column would be called."""

    head: str
    text: object


def by_aircraft(rows: Rows) -> Rearranged | None:
    """The sheet with a line for each unit, where its aircraft stand across; else None."""
    across = next(
        (found for i in range(min(len(rows), _WITHIN)) if (found := _across(rows, i))), None
    )
    if across is None or not _tells_units(rows, across):
        return None
    title = " ".join(text_in(cell) for row in rows[: across.row] for cell in row)
    named = list(dict.fromkeys(across.below.values())) or [SERIAL, _dated(title)]
    part = named_there[1] if (named_there := _PART.search(title)) else ""
    more = ["P/N"] if part else []
    whole = Rearranged(
        BY_AIRCRAFT, [list(row) for row in rows[: across.row] if any(map(text_in, row))]
    )
    whole.rows.append([])  # a title is no upper heading
    whole.rows.append(["A/C", *across.heads, *more, *named])
    for i in range(_first_line(across), len(rows)):
        labels = [text_in(cell) for cell in rows[i][: across.left]]
        filled = [text_in(cell) for cell in rows[i] if is_filled(cell)]
        if not filled:
            continue
        if is_an_end(filled, 2 * len(filled)) or not any(labels):
            whole.rows.append([*filled[:1]])  # a total or a signature: told as such, no unit
            continue
        for at, cells in _units(rows[i], across, named):
            lead: list[_Placed] = [(across.tails[at], (across.row, at))]
            lead += [(rows[i][j] if j < len(rows[i]) else "", (i, j)) for j in range(across.left)]
            lead += [(part, None) for _ in more]
            whole.add([*lead, *((text, (i, j) if text != "" else None) for text, j in cells)])
    return whole


def _across(rows: Rows, i: int) -> _Across | None:
    """Two registrations or more beside each other, headings only left of them."""
    texts = [text_in(cell) for cell in rows[i]]
    tails = {j: tail for j, text in enumerate(texts) if (tail := registration_in(text))}
    if len(tails) < 2 or len(set(tails.values())) < len(tails) or not min(tails):
        return None
    left = min(tails)
    tails |= {
        j: text for j, text in enumerate(texts) if j > left and j not in tails and is_spares(text)
    }
    if any(text for j, text in enumerate(texts) if j > left and j not in tails):
        return None
    below = _heads_below(rows, i, left)
    names = [
        " ".join(filter(None, (texts[j], _cell_text(rows, i + 1, j) if below else "")))
        for j in range(left)
    ]
    return _Across(i, tails, left, names, below)


def _heads_below(rows: Rows, i: int, left: int) -> dict[int, str]:
    """Headings under the aircraft, each once under every one of them; none where units begin there."""
    found = {
        j: text_in(cell)
        for j, cell in enumerate(rows[i + 1] if i + 1 < len(rows) else [])
        if j >= left and text_in(cell)
    }
    known = sum(head_of(text).sure >= 2 and not re.search(r"\d", text) for text in found.values())
    return found if found and known >= 0.6 * len(found) else {}


def _cell_text(rows: Rows, i: int, j: int) -> str:
    return text_in(rows[i][j]) if i < len(rows) and j < len(rows[i]) else ""


def _first_line(across: _Across) -> int:
    return across.row + (2 if across.below else 1)


def _tells_units(rows: Rows, across: _Across) -> bool:
    """Whether places or items stand on the left, and what tells a unit between them and the aircraft."""
    lines = [row for row in rows[_first_line(across) :][:200] if any(map(is_filled, row))]
    labels = [" ".join(text_in(cell) for cell in row[: across.left]) for row in lines]
    said = [label for label in labels if label]
    if not said or sum(is_place(label) or is_item(label) for label in said) < 0.5 * len(said):
        return False
    if across.below:
        return bool({head_of(text).role for text in across.below.values()} & _UNITS)
    cells = [
        row[j]
        for row in lines
        for j in across.tails
        if j < len(row) and is_filled(row[j]) and mark_of(row[j]) is None
    ]
    told = sum(any(piece.head == SERIAL for piece in _pieces(cell, EXPIRY)) for cell in cells)
    return told >= 0.6 * len(cells) > 0


def _units(
    row: Sequence[object], across: _Across, named: Sequence[str]
) -> Iterator[tuple[int, list[tuple[object, int]]]]:
    """By its aircraft's column each unit of a row: its cells in the order of the headings, with their columns."""
    starts = sorted(across.tails)
    for start, end in zip(starts, [*starts[1:], len(row)], strict=True):
        if across.below:
            of = {across.below[j]: j for j in range(start, end) if j in across.below}
            cells = [
                (row[of[n]] if n in of and of[n] < len(row) else "", of.get(n, start))
                for n in named
            ]
            if any(is_filled(cell) for cell, _ in cells):
                yield start, cells
            continue
        cell = row[start] if start < len(row) else ""
        if not is_filled(cell):
            continue
        pieces = _pieces(cell, named[1])
        numbers = [piece.text for piece in pieces if piece.head == SERIAL]
        dates = [piece.text for piece in pieces if piece.head == named[1]]
        for n, number in enumerate(numbers or [""]):
            date = dates[n] if len(dates) == len(numbers) else (dates[0] if dates else "")
            yield start, [(number, start), (date, start)]


def _pieces(cell: object, dated: str) -> list[_Piece]:
    """A cell taken apart: serial numbers, and the dates beside them."""
    if not isinstance(cell, str) or mark_of(cell) is not None:
        return [_Piece(dated if looks_like_a_day(cell) else SERIAL, cell)]
    texts = lines_in(cell)
    if len(texts) == 1:
        texts = [
            piece for piece in re.split(r"\s*[;|]\s*|\s+[-–/]\s+|\s*\(|\)\s*", texts[0]) if piece
        ]
    found = []
    for text in texts:
        plain = re.sub(r"^(S/?N|SER)[:. ]+", "", text, flags=re.IGNORECASE)
        if looks_like_a_day(text):
            found.append(_Piece(dated, text))
        elif _NUMBER.fullmatch(plain):
            found.append(_Piece(SERIAL, plain))
    return found or [_Piece(SERIAL, cell)]


def _dated(title: str) -> str:
    """What the dates beside the numbers are: of the work that the title names, else their expiry."""
    code, _ = work_in(bare(title))
    return f"{title} {DUE}" if code and code != "LIFE" and len(title) < 60 else EXPIRY
