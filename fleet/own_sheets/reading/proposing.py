"""What each column of a sheet is, from its heading and from its contents."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field

from fleet.intake.files import RawSheet
from fleet.intake.workbooks.xlsx import letter_of
from fleet.own_sheets.said import SheetSaid
from fleet.own_sheets.words.crafts import is_spares, registration_in
from fleet.own_sheets.words.days import ASK
from fleet.own_sheets.words.heads import (
    ASPECTS,
    DONE,
    INTERVAL,
    MANY,
    NEXT,
    ROLES,
    WORKS,
    head_of,
    work_in,
)
from fleet.own_sheets.words.marks import bare, text_in

from .contents import Looks, looks_of
from .grids import Grid, grid_of
from .layout import Layout, layout_of

_WEIGHT = {0: 0, 1: 3, 2: 6, 3: 9}
_DATED = {"made", "fitted", "read_on"}
_NAMES = {
    "aircraft",
    "item",
    "position",
    "part",
    "serial",
    "maker",
    "type",
    "station",
    "part_serial",
}


@dataclass(slots=True)
class Column:
    """One column: where, its heading, what it is taken for, why, and how its dates are read."""

    at: int
    name: str
    key: str
    role: str = ""
    proposed: str = ""
    is_sure: bool = False
    why: str = ""
    way: str = ""
    looks: Looks | None = None

    @property
    def letter(self) -> str:
        return letter_of(self.at)

    @property
    def aspect(self) -> str:
        return self.role.partition(":")[0]

    @property
    def work(self) -> str:
        return self.role.partition(":")[2]


@dataclass(slots=True)
class OwnSheet:
    """A sheet understood: its rows, where its table is, its columns, what holds for all its lines."""

    name: str
    rows: list[list[object]]
    layout: Layout
    columns: list[Column] = field(default_factory=list)
    grid: Grid | None = None
    aircraft: str = ""
    item: str = ""
    is_spares: bool = False
    is_left_out: bool = False
    faults: list[str] = field(default_factory=list)

    def at(self, role: str) -> int | None:
        """The column of this role; None if no column has it."""
        return next((column.at for column in self.columns if column.role == role), None)


def role_words(role: str) -> str:
    """What a role is called on the page."""
    if role in ROLES:
        return ROLES[role]
    aspect, _, code = role.partition(":")
    work = WORKS[code][0] if code in WORKS else code.capitalize() or "the work of its line"
    return f"{work}: {ASPECTS.get(aspect, aspect)}"


def sheet_of(raw: RawSheet, said: SheetSaid, day: dt.date) -> OwnSheet:
    """This will propose what a sheet's columns are, and put in their place what a person said."""
    layout = layout_of(raw.rows)
    sheet = OwnSheet(raw.name, raw.rows, layout)
    words = f"{raw.name} {layout.title}"
    sheet.aircraft = said.aircraft or registration_in(raw.name) or registration_in(layout.title)
    sheet.is_spares = is_spares(raw.name)
    sheet.is_left_out = said.is_left_out
    sheet.item = said.item
    sheet.grid = grid_of(raw.rows, day, sheet.aircraft) if raw.rows else None
    if sheet.grid is None:
        sheet.columns = _columns(raw.rows, layout, day)
        _propose(sheet, work_in(bare(words))[0])
    _put(sheet, said)
    return sheet


def _columns(rows: list[list[object]], layout: Layout, day: dt.date) -> list[Column]:
    lines = [rows[i] for i in layout.lines]
    width = max((len(row) for row in lines), default=0)
    columns, seen = [], dict[str, int]()
    for at in range(max(width, len(layout.names))):
        name = layout.names[at] if at < len(layout.names) else ""
        looks = looks_of([row[at] if at < len(row) else "" for row in lines], day)
        if not name and not looks.filled:
            continue
        key = bare(name) or f"column {letter_of(at)}"
        seen[key] = seen.get(key, 0) + 1
        key = key if seen[key] == 1 else f"{key} #{seen[key]}"
        columns.append(Column(at, name, key, looks=looks, way=looks.way))
    return columns


def _propose(sheet: OwnSheet, work: str) -> None:
    scored = [
        (score, column.at, role, column, why)
        for column in sheet.columns
        for role, (score, why) in _scores(column).items()
    ]
    taken: set[str] = set()
    given: set[int] = set()
    for score, at, role, column, why in sorted(scored, key=lambda each: (-each[0], each[1])):
        if at in given or score < 3 or (role in taken and role not in MANY):
            continue
        given.add(at)
        if ":" not in role or role.partition(":")[2]:
            taken.add(role)
        column.role, column.is_sure, column.why = role, score >= 6, why
    _works_of_bare_dates(sheet, work)
    for column in sheet.columns:
        column.proposed = column.role = "" if column.role in {"left", "number"} else column.role
        if not column.role and column.looks and column.looks.filled and not column.why:
            column.why = "neither its heading nor its contents are known"


def _scores(column: Column) -> dict[str, tuple[float, str]]:
    """What a column can be: how much speaks for it, and in words why."""
    head, looks = head_of(column.name), column.looks
    assert looks is not None
    found: dict[str, tuple[float, str]] = {}
    if head.role:
        found[head.role] = (_WEIGHT[head.sure], "by its heading")
    if looks.filled:
        for role, score in _by_contents(looks).items():
            before = found.get(role, (0, ""))[0]
            why = "by its heading and its contents" if before else "by its contents"
            found[role] = (before + score, why)
        if looks.days >= 0.5:
            found = _by_dates(found, looks, head.sure)
    return {role: (score - _against(role, looks), why) for role, (score, why) in found.items()}


def _by_contents(looks: Looks) -> dict[str, float]:
    few = looks.distinct <= 0.7 or looks.filled < 8
    tests = {
        "aircraft": (looks.registrations >= 0.6 and few, 5),
        "item": (looks.items >= 0.6 and looks.places < 0.8, 4.5),
        "position": (looks.places >= 0.6 and looks.items < 0.8, 4.5),
        "serial": (
            looks.serials >= 0.6
            and looks.distinct >= 0.85
            and looks.days < 0.2
            and looks.parts < 0.5,
            4,
        ),
        "part": (looks.parts >= 0.6 and looks.distinct < 0.85 and looks.registrations < 0.5, 4),
        "remarks": (looks.long >= 0.5 and looks.items < 0.3 and looks.places < 0.3, 3.2),
    }
    return {role: score for role, (is_so, score) in tests.items() if is_so}


def _by_dates(
    found: dict[str, tuple[float, str]], looks: Looks, sure: int
) -> dict[str, tuple[float, str]]:
    """Dates mostly to come are the next ones, where the heading does not say otherwise."""
    aspect = NEXT if looks.late >= 0.6 else DONE
    turned = {}
    for role, scored in found.items():
        if role.startswith(f"{DONE}:") and aspect == NEXT and sure < 3:
            to_come = (scored[0], "by its heading, its dates are to come")
            turned[role.replace(DONE, NEXT, 1)] = to_come
        else:
            turned[role] = scored
    return turned or {
        f"{aspect}:": (3.1, "its dates are to come" if aspect == NEXT else "it holds dates")
    }


def _against(role: str, looks: Looks) -> float:
    """What in a column's contents speaks against a role."""
    if not looks.filled:
        return 0
    aspect = role.partition(":")[0]
    if (role in _DATED or aspect in {DONE, NEXT}) and looks.days < 0.25:
        return 7 if looks.days == 0 else 4
    if role in _NAMES and looks.days > 0.5:
        return 8
    if (
        role == "aircraft"
        and looks.registrations < 0.2
        and (looks.places > 0.5 or looks.items > 0.5)
    ):
        return 7
    if aspect == INTERVAL and ":" in role and looks.days > 0.5:
        return 7
    clashes = {
        "item": looks.places > 0.8 and looks.items < 0.2,
        "position": looks.items > 0.8 and looks.places < 0.2,
        "station": looks.places > 0.6,
        "part": looks.distinct > 0.95 and looks.filled > 20 and looks.parts < 0.3,
    }
    return 4 if clashes.get(role) else 0


def _works_of_bare_dates(sheet: OwnSheet, work: str) -> None:
    """A bare NEXT is of the work to its left; of the sheet's own work where there is none."""
    if sheet.at("work") is not None:
        return
    roles = {column.role for column in sheet.columns}
    dated = [column for column in sheet.columns if ":" in column.role]
    for at, column in enumerate(dated):
        if column.work:
            continue
        before = next((each.work for each in reversed(dated[:at]) if each.work), "")
        after = next((each.work for each in dated[at + 1 :] if each.work), "")
        for near in (before, work, after):
            if near and f"{column.aspect}:{near}" not in roles:
                column.role, column.is_sure = f"{column.aspect}:{near}", True
                roles.add(column.role)
                break
        else:
            column.is_sure = False


def _put(sheet: OwnSheet, said: SheetSaid) -> None:
    """What a person said goes before what is proposed; a role said twice is a fault of the sheet."""
    for column in sheet.columns:
        if column.key in said.columns:
            column.role, column.is_sure, column.why = said.columns[column.key], True, "as you said"
        if said.ways and column.way == ASK:
            column.way = said.ways
    named: dict[str, Column] = {}
    for column in sheet.columns:
        first = named.setdefault(column.role, column)
        is_bare = column.role.endswith(":") and sheet.at("work") is None
        if first is not column and column.role not in MANY and not is_bare:
            sheet.faults.append(
                f"Columns {first.letter} and {column.letter} are both “{role_words(column.role)}”. "
                "Leave one of them, or say what the other is."
            )


def table_width(rows: Sequence[Sequence[object]]) -> int:
    return max((len(row) for row in rows if any(text_in(cell) for cell in row)), default=0)
