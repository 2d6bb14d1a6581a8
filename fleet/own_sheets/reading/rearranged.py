"""Sheets whose lines do not go down: positions across with facts down, and tables beside each other.

Such a sheet is written anew, a line for each unit, and of every cell is kept where it stands in the owner's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from fleet.intake.workbooks.xlsx import letter_of
from fleet.own_sheets.words.crafts import registration_in
from fleet.own_sheets.words.heads import head_of
from fleet.own_sheets.words.items import is_item
from fleet.own_sheets.words.marks import bare, is_filled, text_in
from fleet.own_sheets.words.places import is_one_place

from .layout import layout_of

Rows = Sequence[Sequence[object]]
TURNED, STACKED = "positions across and facts down", "tables beside each other"
_UNITS = frozenset({"serial", "part_serial"})
#: Positions across stand among so many first rows, and headings of tables beside each other too.
_WITHIN = 40
#: A sheet of more columns is not looked at for tables beside each other.
_WIDEST = 200


@dataclass(slots=True)
class Rearranged:
    """The rows written anew, where each cell (row, column) stands in the owner's sheet, and how it was."""

    how: str
    rows: list[list[object]] = field(default_factory=list)
    names: dict[tuple[int, int], str] = field(default_factory=dict)

    def add(self, cells: Sequence[tuple[object, tuple[int, int] | None]]) -> None:
        """This will add a row of cells, each with the row and column where it stood."""
        for at, (_, stood) in enumerate(cells):
            if stood is not None:
                self.names[len(self.rows), at] = f"{letter_of(stood[1])}{stood[0] + 1}"
        self.rows.append([cell for cell, _ in cells])


def rearranged(rows: Rows) -> Rearranged | None:
    """The sheet with a line for each unit, where it was not so; else None."""
    return _turned(rows) or _stacked(rows)


# --- positions across, facts down --------------------------------------------------------------


class _Fact(NamedTuple):
    """A row of facts: of which item (empty: not said), and which fact."""

    row: int
    item: str
    head: str


@dataclass(slots=True)
class _Block:
    """The columns of positions under one heading row, and the facts below it."""

    row: int
    places: dict[int, str]
    aircraft: str
    label_at: int
    facts: list[_Fact] = field(default_factory=list)


def _turned(rows: Rows) -> Rearranged | None:
    blocks = _blocks(rows)
    told = [block for block in blocks if _tells_units(block)]
    if not told:
        return None
    heads = list(dict.fromkeys(fact.head for block in told for fact in block.facts))
    found = Rearranged(TURNED, [list(row) for row in rows[: told[0].row] if any(map(text_in, row))])
    found.rows.append(["A/C", "POS", "ITEM", *heads])
    for block in told:
        for at, place in block.places.items():
            for item in dict.fromkeys(fact.item for fact in block.facts):
                _add_unit(found, rows, block, (at, place, item), heads)
    return found


def _add_unit(
    found: Rearranged, rows: Rows, block: _Block, which: tuple[int, str, str], heads: list[str]
) -> None:
    at, place, item = which
    facts = {fact.head: fact.row for fact in block.facts if fact.item == item}
    cells = {
        head: (_cell(rows, facts[head], at), (facts[head], at)) for head in heads if head in facts
    }
    if any(is_filled(cell) for cell, _ in cells.values()):
        lead = [(block.aircraft, (block.row, at)), (place, (block.row, at)), (item, None)]
        found.add([*lead, *(cells.get(head, ("", None)) for head in heads)])


def _cell(rows: Rows, row: int, at: int) -> object:
    return rows[row][at] if at < len(rows[row]) else ""


def _blocks(rows: Rows) -> list[_Block]:
    found: list[_Block] = []
    aircraft = ""
    for i, row in enumerate(rows):
        if not found and i >= _WITHIN:
            break
        texts = [text_in(cell) for cell in row]
        aircraft = next((tail for text in texts if (tail := registration_in(text))), aircraft)
        places = {at: text for at, text in enumerate(texts) if at and is_one_place(text)}
        others = sum(bool(text) for at, text in enumerate(texts) if at not in places)
        if len(places) >= 2 and others <= 1 and len(set(places.values())) == len(places):
            found.append(_Block(i, places, aircraft, min(places) - 1))
        elif found and (label := _label(texts, found[-1])):
            block = found[-1]
            item, head = _item_of(label, block.facts[-1].item if block.facts else "")
            block.facts.append(_Fact(i, item, head))
    return found


def _label(texts: list[str], block: _Block) -> str:
    """What the row says left of the positions; empty where it names an aircraft or nothing."""
    label = " ".join(text for text in texts[: block.label_at + 1] if text)
    is_filled_there = any(at < len(texts) and texts[at] for at in block.places)
    return label if is_filled_there and not registration_in(label) else ""


def _item_of(label: str, before: str) -> tuple[str, str]:
    """The item that a label names, else the one of the row above; and what is left of the label."""
    words = label.split()
    for n in range(len(words) - 1, 0, -1):
        item, rest = " ".join(words[:n]), " ".join(words[n:])
        if is_item(item) and head_of(rest).role in {*_UNITS, "part", "made", "maker"}:
            return item, rest
    return before, label


def _tells_units(block: _Block) -> bool:
    roles = [head_of(fact.head).role for fact in block.facts]
    return bool(_UNITS & set(roles)) and sum(map(bool, roles)) >= 2


# --- tables beside each other ---------------------------------------------------------------------


def _stacked(rows: Rows) -> Rearranged | None:
    layout = layout_of(rows[:_WITHIN])
    parts = _parts(layout.names) if layout.headings else None
    if parts is None:
        return None
    lead, starts, width = parts
    first, last = layout.headings[0], layout.headings[-1]
    found = Rearranged(STACKED, [list(row) for row in rows[: max(0, first - 1)]])
    above = rows[first - 1] if first else []
    words = [_word_over(above, start, width) for start in starts]
    if not any(words) and first:
        found.rows.append(list(above))
    found.rows.append([layout.names[at] for at in (*range(lead), *_reach(starts[0], width))])
    for start, word in zip(starts, words, strict=True):
        if word:
            found.add([(word, (first - 1, start))])
        for i in range(last + 1, len(rows)):
            if any(is_filled(_cell(rows, i, at)) for at in _reach(start, width)):
                found.add(
                    [(_cell(rows, i, at), (i, at)) for at in (*range(lead), *_reach(start, width))]
                )
    return found


def _reach(start: int, width: int) -> range:
    return range(start, start + width)


def _word_over(above: Sequence[object], start: int, width: int) -> str:
    """What stands over one of the tables, if it is one text."""
    texts = [text_in(cell) for cell in above[start : start + width] if text_in(cell)]
    return texts[0] if len(texts) == 1 else ""


def _parts(names: list[str]) -> tuple[int, list[int], int] | None:
    """How many columns stand before the tables, where each begins, how many columns each has."""
    keys = [bare(name) for name in names[:_WIDEST]]
    for lead, key in enumerate(keys):
        starts = [at for at, each in enumerate(keys) if key and each == key]
        if len(starts) < 2 or starts[0] != lead:
            continue
        apart = starts[1] - starts[0]
        part = _stripped(keys[lead : lead + apart])
        are_even = all(_stripped(keys[at : at + apart]) == part for at in starts)
        has_units = any(head_of(key).role in _UNITS and head_of(key).sure == 3 for key in part)
        after = keys[starts[-1] + apart :]
        if are_even and has_units and not any(after):
            return lead, starts, len(part)
    return None


def _stripped(keys: list[str]) -> list[str]:
    while keys and not keys[-1]:
        keys = keys[:-1]
    return keys
