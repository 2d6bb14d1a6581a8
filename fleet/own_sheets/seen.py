"""What the lines of own sheets tell: units where they are, with what was done and when it is next due."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from fleet.house import pace

from .cells import put_cell
from .reading.proposing import Column
from .reading.sheets import OwnSheet
from .said import Said
from .unit import Seen
from .words.crafts import is_spares, registration_in
from .words.heads import work_in
from .words.items import is_item
from .words.marks import NONE, bare, is_filled, mark_of, text_in
from .words.places import CENTRE, is_place, is_store, side_in
from .words.together import numbers_apart, places_apart


@dataclass(slots=True)
class _Above:
    """What merged cells hold on below their first line."""

    section: str = ""
    texts: dict[str, str] = field(default_factory=dict)


def seen_in(sheet: OwnSheet, number: int, said: Said) -> list[Seen]:
    """Every unit that the lines of a sheet tell of, in their order; two of one line where it tells two."""
    if sheet.is_left_out or sheet.grid is not None:
        return []
    found: list[Seen] = []
    above = _Above()
    left = set(said.left)
    groups = _groups(sheet)
    lines = sheet.layout.lines
    for done, i in enumerate(lines):
        if done % pace.EVERY == 0:
            pace.reached(done / len(lines), f"Reading the lines of sheet '{sheet.name[:60]}'")
        line = _of_line(sheet, Seen(number, i), groups.get("", []), above, said)
        for one in _at_positions(sheet, line, groups, said) if len(groups) > 1 else [line]:
            if left_by(one, sheet) in left or f"{sheet.name}!{sheet.row_name(i)}" in left:
                continue
            if one.serial or one.part or _tells_a_work(one):
                found += _split(one)
    return found


def left_by(one: Seen, sheet: OwnSheet) -> str:
    """By what a unit is left out: its row, or its own cell where a row tells of many positions."""
    column = sheet.column("serial", one.group) or sheet.column("part_serial", one.group)
    is_of_cell = one.group or sheet.names
    return f"{sheet.name}!{sheet.cell_name(column if is_of_cell else None, one.row)}"


def _groups(sheet: OwnSheet) -> dict[str, list[Column]]:
    """Columns of whole lines, under no name, and those of each position."""
    found: dict[str, list[Column]] = {}
    for column in sheet.columns:
        found.setdefault(column.group, []).append(column)
    return found


def _at_positions(
    sheet: OwnSheet, line: Seen, groups: dict[str, list[Column]], said: Said
) -> list[Seen]:
    """The units of one line, each with the cells of its position's columns; of empty ones none."""
    found = []
    for group, columns in groups.items():
        across = columns[0].across
        if across is None:
            continue
        one = replace(
            line,
            group=group,
            place=across.place or line.place or across.item,
            item=across.item or line.item,
            done=dict(line.done),
            next=dict(line.next),
            interval=dict(line.interval),
            marks=dict(line.marks),
            totals=dict(line.totals),
            stamped=dict(line.stamped),
            counts=dict(line.counts),
        )
        _put_cells(sheet, one, columns, said, "")
        if mark_of(one.serial) != NONE and (one.serial or one.part):
            found.append(one)
    return found


def _tells_a_work(one: Seen) -> bool:
    return bool(one.place or one.item) and bool(one.done or one.next or one.counts)


def _of_line(sheet: OwnSheet, one: Seen, columns: list[Column], above: _Above, said: Said) -> Seen:
    _put_cells(sheet, one, columns, said, _work_of(sheet, sheet.rows[one.row]))
    _take_apart(one)
    _from_above(sheet, one, one.row, above)
    if one.place and side_in(one.place) == CENTRE and (side := side_in(one.item)) != CENTRE:
        one.place = f"{one.place} {side}"  # DOOR 1, LH SLIDE
    return one


def _take_apart(one: Seen) -> None:
    """Aircraft and place that stand in one cell: ``Q-ABC / FWD LAV``."""
    if not one.aircraft and (tail := registration_in(one.place)):
        one.aircraft, one.place = tail, _without(one.place, tail)
    elif one.aircraft and not one.place and (tail := registration_in(one.aircraft)):
        rest = _without(one.aircraft, tail)
        if is_place(rest):
            one.aircraft, one.place = tail, rest


def _without(text: str, tail: str) -> str:
    at = text.upper().index(tail)
    return f"{text[:at]} {text[at + len(tail) :]}".strip(" /,;:-()")


def _put_cells(sheet: OwnSheet, one: Seen, columns: list[Column], said: Said, work: str) -> None:
    row, mended = sheet.rows[one.row], said.mended
    for column in columns:
        cell = row[column.at] if column.at < len(row) else ""
        if mended:
            cell = mended.get(f"{sheet.name}!{sheet.cell_name(column, one.row)}", cell)
        if not column.role or not is_filled(cell):
            continue
        if (mark := mark_of(cell)) is not None:
            one.marks[column.role] = mark
        put_cell(one, column, cell, column.work or work)


def _work_of(sheet: OwnSheet, row: list[object]) -> str:
    """The code of the work that a line of a sheet of works names."""
    at = sheet.at("work")
    text = text_in(row[at]) if at is not None and at < len(row) else ""
    if not text:
        return ""
    return work_in(bare(text))[0] or bare(text).replace(" ", "-")[:24]


def _from_above(sheet: OwnSheet, one: Seen, i: int, above: _Above) -> None:
    """What a line does not say because a merged cell, a section word or the sheet's name says it."""
    section = sheet.layout.sections.get(i, "")
    if section != above.section:
        above.section, above.texts = section, {}
    if one.aircraft:
        if one.aircraft != above.texts.get("aircraft"):
            above.texts = {}
        above.texts["aircraft"] = one.aircraft
    says_store = is_store(one.place) or is_spares(one.aircraft)
    one.is_spare = says_store or (
        (is_spares(section) or sheet.is_spares) and not registration_in(one.aircraft)
    )
    if says_store and not one.station and is_spares(one.aircraft):
        one.station = ""
    if one.is_spare:
        one.aircraft = ""
    else:
        _fill_down(sheet, one, above, section)
    _say_what_it_is(sheet, one, above, section)


def _say_what_it_is(sheet: OwnSheet, one: Seen, above: _Above, section: str) -> None:
    has_column = sheet.at("item") is not None
    if one.item:
        if not one.is_spare:
            above.texts["item"] = one.item
        return
    if not has_column and is_item(one.place):
        one.item = one.place  # 1L SLIDE
        return
    of_section = "" if is_spares(section) or registration_in(section) else section
    merged = above.texts.get("item", "") if has_column else ""
    one.item = merged or of_section or sheet.item


def _fill_down(sheet: OwnSheet, one: Seen, above: _Above, section: str) -> None:
    has_column = sheet.at("aircraft") is not None
    if not one.aircraft and has_column and mark_of_role(one, "aircraft") is None:
        one.aircraft = above.texts.get("aircraft", "")
    if not one.aircraft:
        one.aircraft = registration_in(section) or ("" if has_column else sheet.aircraft)
    one.aircraft = registration_in(one.aircraft) or one.aircraft.upper()
    if sheet.at("work") is None:
        return
    for name in ("place", "serial", "part"):  # a line for each work: the unit is said once
        role = "position" if name == "place" else name
        if getattr(one, name):
            if name == "place":
                above.texts.pop("serial", None)
                above.texts.pop("part", None)
            above.texts[name] = getattr(one, name)
        elif sheet.at(role) is not None or sheet.at("part_serial") is not None:
            setattr(one, name, above.texts.get(name, ""))


def mark_of_role(one: Seen, role: str) -> str | None:
    """The mark that a line has in the column of a role; a dash there is *none*."""
    mark = one.marks.get(role)
    return mark if mark == NONE else None


def _split(one: Seen) -> list[Seen]:
    """Two units of a line with two serial numbers in one cell, each with its own place if two are said."""
    serials = numbers_apart(one.serial)
    if len(serials) < 2:
        one.serial = " ".join(one.serial.split())
        one.place = " ".join(one.place.split())
        return [one]
    places = places_apart(one.place, len(serials))
    parts = numbers_apart(one.part)
    units = []
    for n, serial in enumerate(serials):
        twin = replace(one, serial=serial, share=n + 1)
        twin.place = places[n] if len(places) == len(serials) else " ".join(one.place.split())
        twin.part = parts[n] if len(parts) == len(serials) else one.part
        units.append(twin)
    return units
