"""Dates, totals and remarks that cannot be so, or that say more than their column."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence

from fleet.intake.problems import CellError, CellProblem
from fleet.intake.stamps import Stamp, in_words
from fleet.own_sheets.counted import since_a_work_without_a_day
from fleet.own_sheets.house import House
from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.said import Said
from fleet.own_sheets.unit import Seen
from fleet.own_sheets.words.marks import UNKNOWN, text_in

from .doubt import Doubt, Line, line_of

_FACTS = re.compile(
    r"\b(EX|FROM|SWAPPED|REMOVED|ROBBED|IN SHOP|AT SHOP|SHOP|SENT|LOAN|LENT|BORROWED|QUARANTINE|U/S|UNSERVICEABLE"
    r"|US|DEFERRED|MEL|EXTENDED|EXTENSION|CONCESSION)\b"
)


def past_its_life(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> Doubt:
    doubt = Doubt(
        "past_life", "These dates lie past the unit's own end of life, or before the unit was made."
    )
    for one in seen:
        end = one.next.get("LIFE")
        for work, on in one.next.items():
            if (
                isinstance(end, Stamp)
                and isinstance(on, Stamp)
                and work != "LIFE"
                and on.on > end.on
            ):
                doubt.lines.append(
                    line_of(
                        one,
                        sheets,
                        f"next:{work}",
                        f"Next {in_words(on)}, and its life ends {in_words(end)}.",
                    )
                )
        for work, on in one.done.items():
            if isinstance(one.made, Stamp) and isinstance(on, Stamp) and on.on < one.made.on:
                doubt.lines.append(
                    line_of(
                        one,
                        sheets,
                        f"done:{work}",
                        f"Done {in_words(on)}, and made {in_words(one.made)}.",
                    )
                )
    return doubt


def to_come(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said, day: dt.date
) -> Doubt:
    doubt = Doubt("to_come", "These works are said to be done on a day that has not come.")
    for one in seen:
        for work, on in one.done.items():
            if isinstance(on, Stamp) and on.on > day:
                doubt.lines.append(
                    line_of(one, sheets, f"done:{work}", f"{in_words(on)} has not come.")
                )
    return doubt


def unreadable(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt("unreadable", "These cells stand in a column of dates and cannot be read as one.")
    for one in seen:
        dated: Iterable[tuple[str, object]] = (
            ("made", one.made),
            ("fitted", one.fitted),
            *((f"done:{work}", on) for work, on in one.done.items()),
            *((f"next:{work}", on) for work, on in one.next.items()),
        )
        for role, read in dated:
            if isinstance(read, CellProblem):
                doubt.lines.append(line_of(one, sheets, role, read.sentence))
    return doubt


def falling_totals(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "falling_total",
        "These totals are below the last one of the same aircraft, or do not add up.",
    )
    for sheet in sheets:
        last: dict[tuple[str, str], tuple[float, str]] = {}
        for each in sheet.grid.readings if sheet.grid and not sheet.grid.is_use else ():
            number = float(re.sub(r"[^\d.]", "", text_in(each.cell).replace(":", ".")) or 0)
            before, words = last.get((each.aircraft, each.what), (0.0, ""))
            if number < before:
                says = f"{text_in(each.cell)} {each.what} of {each.aircraft}, after {words}."
                doubt.lines.append(Line(sheet.name, f"{each.row + 1}", text_in(each.cell), says))
            last[each.aircraft, each.what] = (number, text_in(each.cell))
        for row, says in (sheet.grid.disagree if sheet.grid else {}).items():
            doubt.lines.append(Line(sheet.name, f"{row + 1}", text_in(sheet.rows[row][0]), says))
    return doubt


def remarks(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "remarks",
        "These remarks hold facts that no column tells. They are kept as a note; record what they mean.",
    )
    for one in seen:
        if one.remarks and ("?" in one.remarks or _FACTS.search(one.remarks.upper())):
            doubt.lines.append(line_of(one, sheets, "remarks", one.remarks))
    return doubt


def no_day(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "no_day",
        "These units have hours or cycles since their last work, and nothing says when it was. What is due by "
        "them cannot be reckoned until the work is recorded with its day.",
    )
    for one in seen:
        if role := since_a_work_without_a_day(one):
            name = role.partition(":")[0].replace("tso", "hours").replace("cso", "cycles")
            says = f"{one.serial or 'This unit'}: {name} since overhaul, and no day of it."
            doubt.lines.append(line_of(one, sheets, role, says))
    return doubt


def marks(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "not_known", "Here the sheet says that it does not know: so it is taken as not known."
    )
    for one in seen:
        for role, mark in one.marks.items():
            if mark == UNKNOWN and role not in {"serial", "part_serial"}:
                doubt.lines.append(line_of(one, sheets, role, "Not known."))
    return doubt


def no_value(seen: Sequence[Seen], sheets: Sequence[OwnSheet], *_: object) -> Doubt:
    doubt = Doubt(
        "no_value",
        "These cells hold a formula that gives an error, or of which no value is stored: they are taken as blank. "
        "Open the spreadsheet, save it again, and bring that; or mend them here.",
    )
    for sheet in sheets:
        for column in sheet.columns if not sheet.is_left_out else ():
            for i in sheet.layout.lines if column.role else ():
                row = sheet.rows[i]
                cell = row[column.at] if column.at < len(row) else ""
                if isinstance(cell, CellError):
                    place = sheet.cell_name(column, i)
                    doubt.lines.append(Line(sheet.name, place, str(cell), f"{str(cell)[:60]}."))
    return doubt
