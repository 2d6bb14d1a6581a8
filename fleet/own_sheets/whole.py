"""An own spreadsheet understood as a whole: what it is taken for, what it asks, what it gives."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from zoneinfo import available_timezones

from fleet.house import pace
from fleet.intake.files import RawSheet
from fleet.intake.problems import shown
from fleet.intake.tables import Table

from .gathered import OnRecord, part_of, type_of
from .house import House
from .intervals import Added, added_in
from .lines import lines_of
from .reading.sheets import OwnSheet, sheet_of
from .said import Said
from .seen import seen_in
from .suspicions.doubt import Doubt
from .suspicions.every import doubts_in
from .tables import tables_of
from .unit import Seen
from .words.counts import CYCLES, HOURS, NAMES, amount_of
from .words.days import ASK
from .words.marks import mark_of

#: So many sheets of one workbook are read.
MOST_SHEETS = 60


@dataclass(frozen=True, slots=True)
class Question:
    """Something that is truly missing: the field of the page that answers it, and a sentence."""

    field: str
    sentence: str
    about: str = ""


@dataclass(slots=True)
class Understood:
    """What own sheets are taken for, with what a person said put in its place."""

    sheets: list[OwnSheet]
    seen: list[Seen]
    added: list[Added]
    doubts: list[Doubt]
    questions: list[Question] = field(default_factory=list)
    #: How many sheets are beyond those that are read.
    too_many: int = 0
    most_sheets: int = MOST_SHEETS

    @property
    def faults(self) -> list[str]:
        return [fault for sheet in self.sheets if not sheet.is_left_out for fault in sheet.faults]

    @property
    def taken(self) -> list[Seen]:
        """The units that are taken: those with a serial number."""
        return [one for one in self.seen if one.serial and not mark_of(one.serial)]

    @property
    def unnamed(self) -> list[Seen]:
        """What is on an aircraft and has no serial number: of it only the place is taken, so that
        nobody takes the aircraft for one without it."""
        named = {id(one) for one in self.taken}
        return [
            one
            for one in self.seen
            if id(one) not in named and one.aircraft and one.place and not one.is_spare
        ]


def understood(raws: Sequence[RawSheet], said: Said, house: House, day: dt.date) -> Understood:
    """This will read sheets as they are. Whatever they hold, nothing is raised for it."""
    filled = [raw for raw in raws if any(map(any, raw.rows))]
    sheets, seen = _sheets_and_units(filled[:MOST_SHEETS], said, day)
    pace.reached(0.85, "Looking for what is doubtful")
    whole = Understood(sheets, seen, [], doubts_in(seen, sheets, house, said, day))
    whole.too_many = max(0, len(filled) - MOST_SHEETS)
    whole.added = added_in(whole.taken, house, said)
    whole.questions = list(_questions(whole, house, said))
    return whole


def _sheets_and_units(
    raws: Sequence[RawSheet], said: Said, day: dt.date
) -> tuple[list[OwnSheet], list[Seen]]:
    """Each sheet and its units, telling how far it is: the first half is tables and columns."""
    rows = sum(len(raw.rows) for raw in raws) or 1
    sheets: list[OwnSheet] = []
    seen: list[Seen] = []
    done = 0
    for raw in raws:
        pace.reached(0.4 * done / rows, f"Finding the table of sheet '{raw.name[:60]}'")
        sheets.append(sheet_of(raw, said.of(raw.name), day))
        done += len(raw.rows)
    done = 0
    for number, sheet in enumerate(sheets):
        ends = done + len(raws[number].rows)
        with pace.part(0.4 + 0.4 * done / rows, 0.4 + 0.4 * ends / rows):
            seen += seen_in(sheet, number, said)
        done = ends
    return sheets, seen


def tables_from(
    raws: Sequence[RawSheet],
    said: Said,
    house: House,
    *,
    day: dt.date,
    file: str,
    ask_record: Callable[[set[str]], OnRecord],
) -> tuple[Understood, list[Table]]:
    """The loader's tables out of own sheets; ``ask_record`` tells what is on record of part numbers."""
    whole = understood(raws, said, house, day)
    numbers = {part_of(one, house.kind(one.item, said)[0]) for one in whole.taken}
    lines = lines_of(
        whole.taken,
        whole.sheets,
        whole.added,
        unnamed=whole.unnamed,
        day=day,
        house=house,
        said=said,
        record=ask_record(numbers),
    )
    return whole, tables_of(lines, whole.sheets, file)


def _questions(whole: Understood, house: House, said: Said) -> Iterator[Question]:
    for sheet in whole.sheets:
        if not sheet.is_left_out:
            yield from _of_dates(sheet)
    fitted = [one for one in whole.taken if not one.is_spare]
    for number, sheet in enumerate(whole.sheets):
        named = f"Sheet '{sheet.name}'"
        if any(one.sheet == number and not one.aircraft for one in fitted):
            sentence = f"{named}: which aircraft do its lines belong to?"
            yield Question("aircraft", sentence, sheet.name)
        if any(one.sheet == number and not one.item for one in whole.taken):
            yield Question(
                "item", f"{named}: what are its units, such as Escape slide?", sheet.name
            )
    yield from _of_types(fitted, house, said)
    if said.zone and said.zone not in available_timezones():
        yield Question(
            "zone", f"'{said.zone}' is no zone of time. Write one such as Europe/London."
        )
    yield from _of_amounts(said)
    if not said.station and len(house.stations) != 1 and whole.taken:
        yield Question("station", "Which station do the aircraft and spares belong to?")


def _of_amounts(said: Said) -> Iterator[Question]:
    """What was typed as a limit and is none."""
    for key, text in said.months.items():
        if text.strip() and not (text.strip().isdecimal() and 0 < int(text) <= 1200):
            yield Question(
                "months", f"'{shown(text)}' is no number of months (1 to 1200): {key.lower()}.", key
            )
    for measure, kept in ((HOURS, said.hours), (CYCLES, said.cycles)):
        for key, text in kept.items():
            if text.strip() and not amount_of(measure, text):
                name = NAMES[measure]
                yield Question(
                    name, f"'{shown(text)}' cannot be read as {name}: {key.lower()}.", key
                )


def _of_types(fitted: Sequence[Seen], house: House, said: Said) -> Iterator[Question]:
    tails = {one.aircraft: one for one in fitted if one.aircraft}
    names = sorted(tail for tail, one in tails.items() if not type_of(tail, one, house, said))
    if names:
        more = f" and {len(names) - 12} more" if len(names) > 12 else ""
        yield Question("type", f"Which type are {', '.join(names[:12])}{more}?", ",".join(names))


def _of_dates(sheet: OwnSheet) -> Iterator[Question]:
    for column in sheet.columns:
        is_dated = column.aspect in {"done", "next"} or column.role in {"made", "fitted"}
        if column.way == ASK and is_dated:
            where = f"column {column.letter} ({column.name})"
            sentence = f"Sheet '{sheet.name}': can 3/4 in {where} be 3 April or 4 March?"
            yield Question("ways", sentence, sheet.name)
