"""Hours and cycles: totals of aircraft, across months or in lists, and of units since new or overhaul."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.stamps import Stamp

from .gathered import Lines
from .reading.sheets import OwnSheet
from .unit import At, Seen
from .words.crafts import registration_in
from .words.days import day_in
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


def _add_measures(lines: Lines) -> None:
    for code, measure in _MEASURES.items():
        if code not in lines.house.measures:
            lines.add("Measures", [code], At(-1, 0), dict(measure))


def add_statements(lines: Lines, one: Seen, unit: Mapping[str, object], sheet: OwnSheet) -> None:
    """This will state a unit's totals as of the day of the sheet, those that are on record not again."""
    for role, cell in one.totals.items():
        measure, since = _OF_UNIT[role]
        if lines.record.totals.get((*_key(unit), measure, since)) == _total(measure, cell):
            continue
        _add_measures(lines)
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


def add_readings(lines: Lines, sheets: Sequence[OwnSheet]) -> None:
    """Totals of aircraft that are on record or among the lines."""
    for number, sheet in enumerate(sheets):
        totals = _across(sheet, set(lines.said.left)) | _listed(sheet, set(lines.said.left))
        for (aircraft, on), (row, values) in totals.items():
            if aircraft not in lines.house.aircraft and ("Aircraft", aircraft) not in lines.once:
                continue
            _add_measures(lines)
            source = f"Own sheet, {sheet.name}"[:80]
            read = {"aircraft": aircraft, "read_on": Stamp(on, "day"), "source": source, **values}
            roles = {} if sheet.grid else {name: name for name in (*values, "read_on", "aircraft")}
            lines.add("Readings", [aircraft, on], At(number, row), read, **roles)


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
