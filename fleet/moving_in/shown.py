"""An own spreadsheet's pages as their templates read them: plain rows, nothing left to reckon."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from fleet.own_sheets.reading.proposing import Column
from fleet.own_sheets.reading.sheets import OwnSheet, role_words
from fleet.own_sheets.said import Said
from fleet.own_sheets.suspicions.doubt import Doubt, Line
from fleet.own_sheets.words.days import ASK
from fleet.own_sheets.words.heads import ASPECTS, ROLES, WORKS
from fleet.own_sheets.words.marks import text_in

from .reads import Looked

SAMPLE_LINES = 6
SHOWN_LINES = 60
MOST_COLUMNS = 60


@dataclass(slots=True)
class Choice:
    value: str
    words: str
    is_chosen: bool


@dataclass(slots=True)
class ColumnShown:
    """A column with the choices of what it is."""

    at: int
    letter: str
    heading: str
    is_sure: bool
    why: str
    choices: list[Choice]


@dataclass(slots=True)
class GroupShown:
    """Sheets of one make, shown by the first of them."""

    number: int
    name: str
    sheets: list[tuple[int, str, bool]]
    facts: str
    columns: list[ColumnShown] = field(default_factory=list)
    lines: list[tuple[str, list[str]]] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    asks_ways: bool = False
    ways: str = ""
    grid: str = ""
    out: list[str] = field(default_factory=list)

    @property
    def is_out(self) -> bool:
        return all(is_out for _, _, is_out in self.sheets)


def groups_shown(looked: Looked) -> list[GroupShown]:
    """Every group of sheets as its owner sees it, with the proposal for each column; those left out last."""
    works = _works(looked)
    shown = [_group(looked, g, group, works) for g, group in enumerate(looked.groups)]
    return sorted(shown, key=lambda group: group.is_out)


def _works(looked: Looked) -> list[str]:
    own = {c.work for sheet in looked.whole.sheets for c in sheet.columns if c.work}
    return [*WORKS, *sorted(own - WORKS.keys())]


def _group(
    looked: Looked, g: int, group: list[tuple[int, OwnSheet]], works: list[str]
) -> GroupShown:
    first = group[0][1]
    columns = first.columns[:MOST_COLUMNS]
    shown = GroupShown(
        number=g,
        name=first.name,
        sheets=[(number, sheet.name, sheet.is_left_out) for number, sheet in group],
        facts=_facts(first),
        columns=[_column(column, works, is_own=not first.how) for column in columns],
        faults=list(dict.fromkeys(fault for _, sheet in group for fault in sheet.faults)),
        asks_ways=any(
            column.looks is not None and column.looks.way == ASK
            for _, sheet in group
            for column in sheet.columns
        ),
        ways=looked.said.of(first.name).ways,
        grid=_grid(first),
        out=_out(first),
    )
    for i in [*first.layout.lines[:SAMPLE_LINES]] if first.grid is None else ():
        row = first.rows[i]
        cells = [text_in(row[c.at])[:60] if c.at < len(row) else "" for c in columns]
        shown.lines.append((first.row_name(i), cells))
    return shown


def _column(column: Column, works: list[str], *, is_own: bool) -> ColumnShown:
    roles = [(role, words) for role, words in ROLES.items() if role]
    roles += [(f"{aspect}:", f"{words}, of the line's work") for aspect, words in ASPECTS.items()]
    roles += [
        (f"{aspect}:{work}", role_words(f"{aspect}:{work}")) for work in works for aspect in ASPECTS
    ]
    choices = [Choice("", ROLES[""], not column.role)]
    choices += [Choice(role, words, role == column.role) for role, words in roles]
    heading = column.name or f"(no heading) {column.letter}"
    letter = column.letter if is_own else ""
    return ColumnShown(column.at, letter, heading, column.is_sure, column.why, choices)


def _facts(sheet: OwnSheet) -> str:
    """In a sentence, where the table was found."""
    if sheet.grid is not None:
        return f"Months across: {len(sheet.grid.readings)} totals in {len(sheet.grid.lines)} rows."
    layout = sheet.layout
    if sheet.how:
        return f"Read as {sheet.how}: {len(layout.lines)} units, written here a line for each."
    rows = " and ".join(str(i + 1) for i in layout.headings)
    heads = f"Headings in row {rows}; " if rows else "No headings were found; "
    words = f"{heads}{len(layout.lines)} lines below."
    if sheet.aircraft:
        words += f" All of {sheet.aircraft}."
    if sheet.is_spares:
        words += " Spares, on no aircraft."
    if layout.words:
        names = {layout.sections[i] for i in layout.sections}
        words += f" Section words: {', '.join(sorted(names)[:6])}."
    return words


def _grid(sheet: OwnSheet) -> str:
    if sheet.grid is None:
        return ""
    if sheet.grid.is_use:
        return (
            "These look like the hours of each month, not totals. A total cannot be told from them, so they are"
            " not read: enter one total of each aircraft under its hours."
        )
    tails = sorted({reading.aircraft for reading in sheet.grid.readings})
    return f"Totals at the ends of months, of {', '.join(tails[:12])}."


def _out(sheet: OwnSheet) -> list[str]:
    if sheet.grid is not None:
        return []
    return [f"Row {i + 1}: {why}" for i, why in sorted(sheet.layout.out.items())[:12]]


#: What each sort of suspicion is called.
TITLES = {
    "no_serial": "No serial number",
    "on_two": "One unit in two places",
    "lost_zero": "A zero lost in front",
    "part_in_ways": "A part number written in several ways",
    "shared_place": "Two units at one door",
    "past_life": "Dates that cannot be",
    "to_come": "Done on a day to come",
    "unreadable": "No date in a column of dates",
    "no_value": "Formulas without a value",
    "falling_total": "Totals that fall, or do not add up",
    "no_day": "Hours since a work of which no day is told",
    "stamp_unreadable": "Not readable as a cylinder's stamp",
    "stamp_differs": "A cylinder's stamp that does not go with the rest",
    "remarks": "Remarks that hold facts",
    "not_known": "Said to be not known",
}


@dataclass(slots=True)
class DoubtShown:
    """A sort of suspicion with its first lines, and what is proposed for each."""

    code: str
    title: str
    sentence: str
    count: int
    lines: list[tuple[Line, str]]
    may_take: bool
    take_words: str
    may_mend: bool
    more: int


def doubts_shown(looked: Looked) -> list[DoubtShown]:
    return [_doubt(doubt) for doubt in looked.whole.doubts]


def _doubt(doubt: Doubt) -> DoubtShown:
    def does(line: Line) -> str:
        if (doubt.is_left and not doubt.keeps_place) or doubt.code == "to_come":
            return "leave"  # what has not been done yet is no work done
        return "mend" if line.meant else "take"

    lines = [(line, does(line)) for line in doubt.lines[:SHOWN_LINES]]
    return DoubtShown(
        code=doubt.code,
        title=TITLES[doubt.code],
        sentence=doubt.sentence,
        count=len(doubt.lines),
        lines=lines,
        may_take=doubt.keeps_place or not doubt.is_left,
        take_words="keep its place, with nothing recorded there" if doubt.keeps_place else "take",
        may_mend=doubt.code not in {"remarks", "shared_place", "falling_total", "no_day"},
        more=len(doubt.lines) - len(lines),
    )


def found_in(looked: Looked) -> list[tuple[str, int]]:
    """What was found, counted, in words."""
    taken = looked.whole.taken
    fitted = [one for one in taken if one.aircraft and not one.is_spare]
    works = Counter(work for one in taken for work, on in one.done.items() if on is not None)
    totals = sum(len(s.grid.readings) for s in looked.whole.sheets if s.grid and not s.grid.is_use)
    counts = [
        ("aircraft", len({one.aircraft for one in fitted})),
        ("units", len({one.key for one in taken})),
        ("of them spares", len({one.key for one in taken if one.is_spare})),
        ("part numbers", len({one.part for one in taken if one.part})),
        ("works done", works.total()),
        ("next dates to compare", sum(len(one.next) for one in taken)),
        ("totals of aircraft", totals),
    ]
    return [(words, count) for words, count in counts if count]


def asked_about(looked: Looked) -> dict[str, Any]:
    """What is asked of single sheets and aircraft."""
    of_sheets = [
        {
            "number": number,
            "name": sheet.name,
            "asks": {q.field for q in looked.whole.questions if q.about == sheet.name},
            "said": looked.said.of(sheet.name),
        }
        for number, sheet in enumerate(looked.whole.sheets)
    ]
    untyped = next((q.about.split(",") for q in looked.whole.questions if q.field == "type"), [])
    said: Said = looked.said
    tails = sorted({*untyped, *said.types})
    return {
        "sheets": [each for each in of_sheets if each["asks"]],
        "types": [
            (tail, said.types.get(tail, "")) for tail in tails if tail not in looked.house.aircraft
        ],
    }
