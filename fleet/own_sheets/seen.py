"""What the lines of own sheets tell: units where they are, with what was done and when it is next due."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from fleet.intake.stamps import Reading

from .reading.proposing import Column
from .reading.sheets import OwnSheet
from .said import Said
from .words.crafts import is_spares, registration_in
from .words.days import ASK, day_in
from .words.heads import DONE, INTERVAL, work_in
from .words.items import is_item
from .words.marks import NONE, bare, is_filled, lines_in, mark_of, text_in
from .words.places import CENTRE, is_place, is_store, side_in

_BETWEEN = re.compile(r"\s*(?:\n|/|;|&|\+|,|\bAND\b)\s*", re.IGNORECASE)


@dataclass(slots=True)
class Seen:
    """One unit as one line tells it. ``row`` counts from 0 in the sheet numbered ``sheet``.

    ``done``, ``next`` and ``interval`` are by work; ``marks`` are N/A and its like by role.
    """

    sheet: int
    row: int
    aircraft: str = ""
    type: str = ""
    msn: str = ""
    place: str = ""
    item: str = ""
    part: str = ""
    serial: str = ""
    maker: str = ""
    station: str = ""
    remarks: str = ""
    quantity: str = ""
    is_spare: bool = False
    made: Reading = None
    fitted: Reading = None
    done: dict[str, Reading] = field(default_factory=dict)
    next: dict[str, Reading] = field(default_factory=dict)
    interval: dict[str, str] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)
    share: int = 0

    @property
    def at(self) -> tuple[int, int]:
        """The sheet and the row that it stands in."""
        return (self.sheet, self.row)

    @property
    def key(self) -> tuple[str, str]:
        """By what a unit is told apart in one workbook: part number and serial number."""
        return (bare(self.part), self.serial.upper())


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
    for i in sheet.layout.lines:
        one = _of_line(sheet, number, i, above, said)
        if f"{sheet.name}!{i + 1}" in left or not (one.serial or one.part or _tells_a_work(one)):
            continue
        found += _split(one)
    return found


def _tells_a_work(one: Seen) -> bool:
    return bool(one.place or one.item) and bool(one.done or one.next)


def _of_line(sheet: OwnSheet, number: int, i: int, above: _Above, said: Said) -> Seen:
    one = Seen(number, i)
    row = sheet.rows[i]
    work, mended = _work_of(sheet, row), said.mended
    for column in sheet.columns:
        cell = row[column.at] if column.at < len(row) else ""
        if mended:
            cell = mended.get(f"{sheet.name}!{column.letter}{i + 1}", cell)
        if not column.role or not is_filled(cell):
            continue
        if (mark := mark_of(cell)) is not None:
            one.marks[column.role] = mark
        _put_cell(one, column, cell, column.work or work)
    _from_above(sheet, one, i, above)
    if one.place and side_in(one.place) == CENTRE and (side := side_in(one.item)) != CENTRE:
        one.place = f"{one.place} {side}"  # DOOR 1, LH SLIDE
    return one


def _put_cell(one: Seen, column: Column, cell: object, work: str) -> None:
    """What a cell tells, where its column says that it belongs."""
    way = "" if column.way == ASK else column.way
    if ":" in column.role:
        if work and column.aspect == INTERVAL:
            one.interval[work] = text_in(cell)
        elif work:
            (one.done if column.aspect == DONE else one.next)[work] = day_in(cell, way)
    elif column.role in {"made", "fitted"}:
        setattr(one, column.role, day_in(cell, way))
    elif column.role in _KEPT:
        _KEPT[column.role](one, cell)


def _work_of(sheet: OwnSheet, row: list[object]) -> str:
    """The code of the work that a line of a sheet of works names."""
    at = sheet.at("work")
    text = text_in(row[at]) if at is not None and at < len(row) else ""
    if not text:
        return ""
    return work_in(bare(text))[0] or bare(text).replace(" ", "-")[:24]


def _put_text(name: str) -> Callable[[Seen, object], None]:
    def put(one: Seen, cell: object) -> None:
        setattr(
            one,
            name,
            str(cell) if name in {"serial", "place"} and "\n" in str(cell) else text_in(cell),
        )

    return put


def _put_both(one: Seen, cell: object) -> None:
    """Part and serial number in one cell, on two lines or set apart by a word or a stroke."""
    parts = lines_in(cell)
    if len(parts) == 1:
        parts = re.split(
            r"\s*(?:S/?N:?|SER(?:IAL)?\.?:?|/|;|,)\s*", parts[0], maxsplit=1, flags=re.IGNORECASE
        )
    clean = [re.sub(r"^(P/?N|S/?N):?\s*", "", part, flags=re.IGNORECASE).strip() for part in parts]
    clean = [part for part in clean if part]
    if len(clean) == 2:
        one.part, one.serial = clean
    elif clean:
        one.serial = clean[0]


def _put_remarks(one: Seen, cell: object) -> None:
    one.remarks = f"{one.remarks} {text_in(cell)}".strip()


_KEPT: dict[str, Callable[[Seen, object], None]] = {
    **{
        name: _put_text(name)
        for name in ("type", "msn", "item", "part", "serial", "maker", "station", "quantity")
    },
    "aircraft": _put_text("aircraft"),
    "position": _put_text("place"),
    "part_serial": _put_both,
    "remarks": _put_remarks,
}


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
    serials = _apart(one.serial)
    if len(serials) < 2:
        one.serial = " ".join(one.serial.split())
        one.place = " ".join(one.place.split())
        return [one]
    places = _places_apart(one.place, len(serials))
    parts = _apart(one.part)
    units = []
    for n, serial in enumerate(serials):
        twin = Seen(**{name: getattr(one, name) for name in Seen.__slots__})
        twin.serial, twin.share = serial, n + 1
        twin.place = places[n] if len(places) == len(serials) else " ".join(one.place.split())
        twin.part = parts[n] if len(parts) == len(serials) else one.part
        units.append(twin)
    return units


def _apart(text: str) -> list[str]:
    """Numbers of one shape that stand together in a cell; one, if they are not of one shape."""
    pieces = [piece.strip() for piece in _BETWEEN.split(text) if piece.strip()]
    shapes = {re.sub(r"[A-Z]", "A", re.sub(r"\d", "9", piece.upper())) for piece in pieces}
    is_many = len(pieces) > 1 and all(len(p) >= 3 and re.search(r"\d", p) for p in pieces)
    lengths = {len(piece) for piece in pieces}
    return (
        pieces
        if is_many and (len(shapes) == 1 or ("\n" in text and max(lengths) - min(lengths) <= 2))
        else [text]
    )


def _places_apart(text: str, count: int) -> list[str]:
    pieces = [piece.strip() for piece in _BETWEEN.split(text) if piece.strip()]
    if len(pieces) != count:
        return []
    if all(is_place(piece) for piece in pieces) and " " not in pieces[0]:
        return pieces
    head = pieces[0].rpartition(" ")[0]  # DOOR 1 L/R
    return [
        pieces[0],
        *(piece if " " in piece else f"{head} {piece}".strip() for piece in pieces[1:]),
    ]
