"""Hours and cycles: totals of aircraft, across months or in lists, and of units since new or overhaul."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.stamps import Stamp

from .counted import is_of_aircraft, total_of
from .gathered import Lines
from .reading.sheets import OwnSheet
from .unit import At, Seen
from .words.counts import CYCLES, HOURS, NAMES, amount_of, amount_words
from .words.crafts import registration_in
from .words.days import day_in
from .words.heads import COUNTED, DONE
from .words.marks import is_filled, mark_of, text_in

FH, FC = "FH", "FC"
_MEASURES = {
    FH: {"code": FH, "name": "flight hours", "unit": "minutes", "counted_on": "the aircraft"},
    FC: {"code": FC, "name": "flight cycles", "unit": "count", "counted_on": "the aircraft"},
}
#: What a unit's column of totals counts, and since when.
_OF_UNIT = {
    "tsn": (FH, "since new"),
    "csn": (FC, "since new"),
    "tso": (FH, "since overhaul"),
    "cso": (FC, "since overhaul"),
}


def add_measures(lines: Lines) -> None:
    """This will say flight hours and flight cycles, where they are not on record."""
    for code, measure in _MEASURES.items():
        if code not in lines.house.measures:
            lines.add("Measures", [code], At(-1, 0), dict(measure))


def add_statements(lines: Lines, one: Seen, unit: Mapping[str, object], sheet: OwnSheet) -> None:
    """This will state a unit's totals as of the day of the sheet, those that are on record not again."""
    for role, cell in one.totals.items():
        if role not in _OF_UNIT:
            continue  # the aircraft's own
        measure, since = _OF_UNIT[role]
        if lines.record.totals.get((*_key(unit), measure, since)) == _total(measure, cell):
            continue
        add_measures(lines)
        values = {
            **unit,
            "measure": measure,
            "stated_on": Stamp(lines.day, "day"),
            "total": cell,
            "since": since,
            "source": f"Own sheet, {sheet.name}"[:80],
            "quality": "counted by our own records",
        }
        lines.add(
            "Life statements",
            [*one.key, role],
            one.at,
            values,
            part="part",
            serial="serial",
            total=role,
        )


def _key(unit: Mapping[str, object]) -> tuple[str, str]:
    return str(unit["part"]), str(unit["serial"]).upper()


def _total(measure: str, cell: object) -> object:
    return minutes_of(cell) if measure == FH else count_of(cell)


def add_readings(lines: Lines, sheets: Sequence[OwnSheet], seen: Sequence[Seen]) -> None:
    """Totals of aircraft that are on record or among the lines: of months across, of lists, of lines of units."""
    for number, sheet in enumerate(sheets):
        totals = _across(sheet, set(lines.said.left)) | _listed(sheet, set(lines.said.left))
        for key, (row, values) in totals.items():
            roles = {} if sheet.grid else {name: name for name in (*values, "read_on", "aircraft")}
            _Readings(lines, sheet).add(At(number, row), key, values, roles)
    for one in seen:
        readings = _Readings(lines, sheets[one.sheet])
        told = {name: one.totals[name] for name in NAMES.values() if name in one.totals}
        news = {name: cell for name, cell in told.items() if _is_new(lines, one, name, cell)}
        if one.aircraft and news:
            readings.add(one.at, (one.aircraft, lines.day), news, {name: name for name in news})
        for on, values in at_works(one).items():
            readings.add(one.at, (one.aircraft, on), values, {})


def _is_new(lines: Lines, one: Seen, name: str, cell: object) -> bool:
    """Whether a line's total of its aircraft is not the latest on record: it has no day of its own."""
    measure = HOURS if name == "hours" else CYCLES
    return lines.house.totals.get((one.aircraft, measure)) != amount_of(measure, cell)


@dataclass(frozen=True, slots=True)
class _Readings:
    """Readings of a sheet as lines."""

    lines: Lines
    sheet: OwnSheet

    def add(
        self,
        at: At,
        key: tuple[str, dt.date],
        values: Mapping[str, object],
        roles: Mapping[str, str],
    ) -> None:
        """The totals of an aircraft on a day, unless the aircraft is not known."""
        aircraft, on = key
        lines = self.lines
        if aircraft not in lines.house.aircraft and ("Aircraft", aircraft) not in lines.once:
            return
        add_measures(lines)
        source = f"Own sheet, {self.sheet.name}"[:80]
        read = {"aircraft": aircraft, "read_on": Stamp(on, "day"), "source": source, **values}
        lines.add("Readings", [aircraft, on], at, read, **roles)


def at_works(one: Seen) -> dict[dt.date, dict[str, object]]:
    """The aircraft's totals at a unit's last works, by the day of the work, where the line counts by them:
    the unit was on that aircraft then, and no total of its own is known."""
    found: dict[dt.date, dict[str, object]] = {}
    if not one.aircraft or one.is_spare:
        return found
    for (role, work), count in one.counts.items():
        aspect, measure = COUNTED[role]
        done = one.done.get(work)
        total = amount_of(measure, count.cell)
        if aspect != DONE or total is None or total_of(one, measure) is not None:
            continue
        if not isinstance(done, Stamp) or done.precision != "day":
            continue
        if is_of_aircraft(one, count, measure):
            found.setdefault(done.on, {})[NAMES[measure]] = amount_words(measure, total)
    return found


Totals = dict[tuple[str, dt.date], tuple[int, dict[str, object]]]


def _across(sheet: OwnSheet, left: set[str]) -> Totals:
    """The totals of a grid by aircraft and day, hours and cycles together, with their row."""
    found: Totals = {}
    if sheet.is_left_out or sheet.grid is None or sheet.grid.is_use:
        return found
    for each in sheet.grid.readings:
        if f"{sheet.name}!{each.row + 1}" not in left:
            _, totals = found.setdefault((each.aircraft, each.on), (each.row, {}))
            totals[each.what] = each.cell
    return found


def _listed(sheet: OwnSheet, left: set[str]) -> Totals:
    """The totals of a list of aircraft with the day that they were read; without a day they tell nothing."""
    found: Totals = {}
    craft, read_on = sheet.column("aircraft"), sheet.column("read_on")
    if sheet.is_left_out or craft is None or read_on is None:
        return found
    columns = {name: sheet.at(name) for name in ("hours", "cycles")}
    for i in sheet.layout.lines:
        row = sheet.rows[i]
        aircraft, day = (
            text_in(_cell(row, craft.at)).upper(),
            day_in(_cell(row, read_on.at), read_on.way),
        )
        if not isinstance(day, Stamp) or day.precision != "day" or f"{sheet.name}!{i + 1}" in left:
            continue
        cells = {name: _cell(row, at) for name, at in columns.items() if at is not None}
        told = {
            name: cell for name, cell in cells.items() if is_filled(cell) and mark_of(cell) is None
        }
        if told:
            found.setdefault((registration_in(aircraft) or aircraft, day.on), (i, told))
    return found


def _cell(row: Sequence[object], at: int) -> object:
    return row[at] if at < len(row) else ""
