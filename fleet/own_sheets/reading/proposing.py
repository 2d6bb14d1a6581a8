"""What each column of a table is, scored from its heading and from its contents."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from fleet.intake.date_texts import DAY_FIRST
from fleet.intake.workbooks.xlsx import letter_of
from fleet.own_sheets.words.counts import CYCLES, HOURS
from fleet.own_sheets.words.days import ASK
from fleet.own_sheets.words.heads import (
    COUNTED,
    DONE,
    INTERVAL,
    MANY,
    NEXT,
    UNIT_TOTALS,
    Head,
    head_of,
)
from fleet.own_sheets.words.marks import bare
from fleet.own_sheets.words.tongues import is_foreign

from .across import Across, across_of
from .contents import Looks, looks_of
from .layout import Layout

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
SECOND = "it looks like a second column of the same sort"


@dataclass(slots=True)
class Column:
    """One column: where, its heading, what it is taken for, why, and how its dates are read.

    ``across`` where its heading names the position that it is of.
    """

    at: int
    name: str
    key: str
    role: str = ""
    proposed: str = ""
    is_sure: bool = False
    why: str = ""
    way: str = ""
    looks: Looks | None = None
    across: Across | None = None

    @property
    def group(self) -> str:
        """The position that it is of; empty for a column of the whole line."""
        return self.across.key if self.across else ""

    @property
    def head(self) -> str:
        """Its heading, without the position."""
        return self.across.rest if self.across else self.name

    @property
    def letter(self) -> str:
        return letter_of(self.at)

    @property
    def aspect(self) -> str:
        return self.role.partition(":")[0]

    @property
    def work(self) -> str:
        return self.role.partition(":")[2]


def columns_of(rows: list[list[object]], layout: Layout, day: dt.date) -> list[Column]:
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
    if sum(is_foreign(bare(column.name)) for column in columns) >= 2:
        for (
            column
        ) in columns:  # where headings are German, French or Spanish nobody writes the month first
            column.way = DAY_FIRST if column.way == ASK else column.way
    every = [column.looks for column in columns if column.looks]
    for i, across in across_of([column.name for column in columns], every).items():
        columns[i].across = across
    return columns


def propose(columns: list[Column], work: str) -> None:
    """This will say of each column what it is most likely; ``work`` is the one that the sheet is about."""
    for group in dict.fromkeys(column.group for column in columns):
        of_one = [column for column in columns if column.group == group]
        _give_roles(of_one)
        _works_of_bare_dates(of_one, work)
    lists_units = any(column.role in {"serial", "part_serial", "part"} for column in columns)
    for column in columns:
        if not lists_units:
            column.role = UNIT_TOTALS.get(column.role, column.role)
        column.proposed = column.role = "" if column.role in {"left", "number"} else column.role


def _give_roles(columns: list[Column]) -> None:
    scored = [
        (score, column.at, role, column, why)
        for column in columns
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
        if column.across:
            column.is_sure, column.why = True, f"of {column.across.words}, {why}"
    for column in columns:
        if not column.role and column.looks and column.looks.filled:
            again = head_of(column.head).role in taken - MANY
            column.why = SECOND if again else "neither its heading nor its contents are known"


def _scores(column: Column) -> dict[str, tuple[float, str]]:
    """What a column can be: how much speaks for it, and in words why."""
    head, looks = head_of(column.head), column.looks
    assert looks is not None
    found: dict[str, tuple[float, str]] = {}
    if head.role == "item" and looks.numbers > 0.8:
        head = Head("number", head.sure)  # ITEM over 1, 2, 3: of the line
    if head.role:
        found[head.role] = (_WEIGHT[head.sure], "by its heading")
    if looks.filled:
        for role, score in _by_contents(looks).items():
            before = found.get(role, (0, ""))[0]
            why = "by its heading and its contents" if before else "by its contents"
            found[role] = (before + score, why)
        if looks.days >= 0.5:
            found = _by_dates(found, looks, head.sure)
        elif looks.hours >= 0.8 or looks.cycles >= 0.8:
            found = _by_counts(found, HOURS if looks.hours >= looks.cycles else CYCLES)
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
            and (looks.parts < 0.5 or looks.distinct >= 0.95),  # no part number is in one line only
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
    for written, scored in found.items():
        before, _, work = written.partition(":")
        before = COUNTED[before][0] if before in COUNTED else before
        role = f"{before}:{work}" if ":" in written else written
        is_turned = before == DONE and aspect == NEXT and sure < 3
        if work and (is_turned or before == INTERVAL):  # LIFE (15 YRS) over a date is no interval
            turned[f"{aspect}:{work}"] = (scored[0], "by its heading and its dates")
        elif is_turned and ":" in role:
            turned[f"{NEXT}:"] = (scored[0], "by its heading, its dates are to come")
        else:
            turned[role] = scored
    return turned or {
        f"{aspect}:": (3.1, "its dates are to come" if aspect == NEXT else "it holds dates")
    }


def _by_counts(found: dict[str, tuple[float, str]], measure: str) -> dict[str, tuple[float, str]]:
    """Cells such as ``3000 FH`` under a heading that names no measure."""
    turned = {}
    for role, scored in found.items():
        aspect, _, work = role.partition(":")
        is_turned = ":" in role and aspect not in COUNTED
        turned[f"{aspect}-{measure}:{work}" if is_turned else role] = scored
    return turned


def _against(role: str, looks: Looks) -> float:
    """What in a column's contents speaks against a role."""
    aspect = role.partition(":")[0]
    if not looks.filled or (role == "made" and looks.years > 0.5):
        return 0
    dated = looks.told if aspect in {DONE, NEXT} else looks.days
    if (role in _DATED or aspect in {DONE, NEXT}) and dated < 0.25:
        return 7 if dated == 0 else 4
    if role in _NAMES and looks.days > 0.5:
        return 8
    if (
        role == "aircraft"
        and looks.registrations < 0.2
        and (looks.places > 0.5 or looks.items > 0.5)
    ):
        return 7
    is_date = aspect == INTERVAL and ":" in role and looks.days > 0.5
    if is_date or (aspect in COUNTED and looks.counts < 0.5):
        return 7
    clashes = {
        "type": looks.items > 0.5 or looks.places > 0.6,
        "item": looks.places > 0.8 and looks.items < 0.2,
        "position": looks.items > 0.8 and looks.places < 0.2,
        "station": looks.places > 0.6,
        "part": looks.distinct > 0.95 and looks.filled > 20 and looks.parts < 0.3,
    }
    return (8 if role in {"type", "station"} else 4) if clashes.get(role) else 0


def _works_of_bare_dates(columns: list[Column], work: str) -> None:
    """A bare NEXT is of the work to its left; of the sheet's own work where there is none."""
    roles = {column.role for column in columns}
    dated = [column for column in columns if ":" in column.role]
    for at, column in enumerate(dated if "work" not in roles else ()):
        if column.work:
            continue
        before = next((each.work for each in reversed(dated[:at]) if each.work), "")
        after = next((each.work for each in dated[at + 1 :] if each.work), "")
        near = (each for each in (before, work, after) if each)
        code = next((each for each in near if f"{column.aspect}:{each}" not in roles), "")
        column.is_sure = bool(code)
        column.role = f"{column.aspect}:{code}"
        roles.add(column.role)
