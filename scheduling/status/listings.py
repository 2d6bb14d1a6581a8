"""A record of status as a list: real dates, hours and counts in a workbook, every row on paper."""

from __future__ import annotations

from collections.abc import Iterator

from equipment.common.listing import Cell, Column, Listing, Minutes
from fleet.drawing.states import state_of
from fleet.models import Aircraft
from fleet.words.said import day_words

from .clocks import ClockStands
from .reads import Status, StatusLine
from .sorts import BY_CODE, DIRECTIVE

COLUMNS = (
    Column("Aircraft", 0.9),
    Column("Position", 1.5),
    Column("Part number", 1.3),
    Column("Serial number", 1.2),
    Column("Description", 0),
    Column("Work", 1.4),
    Column("Limit", 1.2),
    Column("Allowed", 1.3),
    Column("Counts", 2),
    Column("From", 1.1),
    Column("Used", 0.8),
    Column("Left", 0.8),
    Column("In", 0.9),
    Column("Last day", 1.1),
    Column("State", 1.2),
    Column("Document", 1.6),
    Column("Not recorded", 1.2),
)
CASE = (Column("Disposition", 1.2), Column("Since", 1.1), Column("By, and how", 2))


def columns_of(status: Status) -> tuple[Column, ...]:
    return (*COLUMNS, *CASE) if status.sort == DIRECTIVE else COLUMNS


def status_listing(status: Status, aircraft: Aircraft | None, address: str) -> Listing:
    """Every line of the record, a row for each clock."""
    sort = BY_CODE[status.sort]
    of = aircraft.registration if aircraft else "all units"
    notes = [
        "Used and left are as of the day above. In days: from the day it counts from, time not counted left out."
    ]
    if status.unknown:
        notes.insert(
            0, f"Listed, but no unit on record has the number: {'; '.join(status.unknown)}."
        )
    name = f"{status.sort}-{aircraft.registration if aircraft else 'all'}-{status.as_of:%Y-%m-%d}"
    return Listing(
        title=f"{sort.title}, {of}",
        as_of=f"As of {day_words(status.as_of)}",
        columns=columns_of(status),
        rows=list(rows_of_status(status)),
        address=address,
        name=name,
        facts=[("Aircraft", of), ("What", sort.what)],
        notes=notes,
        is_wide=True,
    )


def rows_of_status(status: Status) -> Iterator[list[Cell]]:
    for line in status.lines():
        clocks = line.clocks or (None,)
        for clock in clocks:
            yield [*_cells(line, clock), *(_case(line) if status.sort == DIRECTIVE else ())]


def _cells(line: StatusLine, clock: ClockStands | None) -> list[Cell]:
    row = line.row
    return [
        row.registration or row.station,
        f"{row.position} {row.inside}".strip(),
        row.part_number,
        row.serial_number,
        row.description,
        row.work,
        row.limit,
        clock.allowed if clock else "",
        _rule(clock),
        clock.start_on if clock else None,
        _amount(clock, clock.used) if clock else None,
        _amount(clock, clock.left) if clock else None,
        clock.measure if clock and clock.runs else "",
        clock.last_on if clock else None,
        _state(line),
        document_of(line),
        ", ".join((clock.missing or row.missing) if clock else row.missing),
    ]


def _rule(clock: ClockStands | None) -> str:
    if clock is None:
        return ""
    return clock.rule if clock.runs else f"{clock.rule}: does not run now"


def _amount(clock: ClockStands, value: int | None) -> Cell:
    return Minutes(value) if clock.is_hours and value is not None else value


def _state(line: StatusLine) -> str:
    return (line.row.by_days or state_of(line.row.band).word) if line.row.band else "closed"


def document_of(line: StatusLine) -> str:
    """Document, paragraph and revision that ask for it."""
    limit = line.limit
    named = f"{limit.document} {limit.paragraph}".strip()
    return " revision ".join(part for part in (named, limit.document_revision) if part)


def _case(line: StatusLine) -> list[Cell]:
    said = line.disposition
    how = [said.document, said.reason] if said else []
    if line.method:
        how.append(f"last: {line.method}")
    return [
        said.get_sort_display() if said else "none",
        said.on if said else None,
        ", ".join(part for part in how if part),
    ]
