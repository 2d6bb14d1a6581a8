from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import islice
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from fleet.doors.options import asked_by, day_of, options_of
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.words.said import hours_words
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import DueRow

FORMATS = ("table", "json", "csv")
FIELDS = (
    "id",
    "registration",
    "station",
    "position",
    "inside",
    "part_number",
    "serial_number",
    "description",
    "work",
    "limit",
    "band",
    "due_on",
    "until_on",
    "is_projected",
    "due_at_hours",
    "due_at_cycles",
    "due_at_other",
    "other_measure",
    "other_is_hours",
    "decided_by",
    "left_days",
    "left_minutes",
    "left_cycles",
    "left_other",
    "check_name",
    "check_starts_on",
    "line_part_number",
    "line_serial_number",
    "missing",
    "worst_on",
    "notes",
    "is_stale",
    "maker",
)
HEADS = (
    "BAND",
    "AIRCRAFT",
    "POSITION",
    "PART NUMBER",
    "SERIAL NUMBER",
    "WORK",
    "DUE",
    "REMAINING",
    "CHECK",
)
EXPLAINED_AT_ONCE = 200


class Command(BaseCommand):
    """The due list on the command line: the same rows as the page's, in the same order."""

    help = "The due list, most urgent first."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--as-of", type=day_of, metavar="DATE", help="as 2027-03-03; else today"
        )
        options_of(parser, DueFilters)
        parser.add_argument("--format", default="table", choices=FORMATS)

    def handle(self, *args: Any, as_of: date | None, format: str, **options: Any) -> None:
        day = as_of or today()
        try:
            filters = asked_by(options, DueFilters)
            rows = due_list.due_rows(filters=filters, as_of=day)
            {"table": self._table, "json": self._json, "csv": self._csv}[format](rows, day)
        except Refused as refused:
            raise CommandError(refused.message, returncode=2) from None

    def _json(self, rows: Iterable[DueRow], day: date) -> None:
        for row, steps in _with_explanations(rows, day):
            shown = {**_shown(row), "explanation": steps}
            self.stdout.write(json.dumps(shown, default=str, ensure_ascii=False))

    def _csv(self, rows: Iterable[DueRow], day: date) -> None:
        writer = csv.DictWriter(self.stdout, FIELDS, lineterminator="\n")
        writer.writeheader()
        for row in rows:
            shown = _shown(row)
            writer.writerow(
                {k: "; ".join(v) if isinstance(v, list) else v for k, v in shown.items()}
            )

    def _table(self, rows: Iterable[DueRow], day: date) -> None:
        lines = [HEADS, *map(_cells, rows)]
        widths = [max(len(line[column]) for line in lines) for column in range(len(HEADS))]
        for line in lines:
            cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
            self.stdout.write("  ".join(cells).rstrip())
        self.stdout.write(f"\n{len(lines) - 1} due items as of {day:%Y-%m-%d}.")


def _with_explanations(rows: Iterable[DueRow], day: date) -> Iterator[tuple[DueRow, list[str]]]:
    waiting = iter(rows)
    while batch := list(islice(waiting, EXPLAINED_AT_ONCE)):
        told = due_list.explanations(item_ids=[row.id for row in batch], as_of=day)
        steps = {one.row.id: [*one.steps, *one.others] for one in told}
        for row in batch:
            yield row, steps.get(row.id, [])


def _shown(row: DueRow) -> dict[str, Any]:
    values: dict[str, Any] = {name: getattr(row, name) for name in FIELDS if name != "due_at_hours"}
    values["due_at_hours"] = _hours(row.due_at_minutes)
    for name in ("missing", "notes"):
        values[name] = list(values[name])
    for name in ("due_on", "until_on", "check_starts_on", "worst_on"):
        values[name] = values[name].isoformat() if values[name] else None
    return {name: values[name] for name in FIELDS}


def _hours(minutes: int | None) -> str | None:
    """As the sheets have it: 12345:30."""
    return None if minutes is None else f"{minutes // 60}:{minutes % 60:02d}"


def _cells(row: DueRow) -> tuple[str, ...]:
    due = row.due_on or row.worst_on
    when = f"{due:%Y-%m-%d}" if due else "-"
    if not row.due_on and row.worst_on:
        when = f"no later than {when}"
    at = [f"{hours_words(row.due_at_minutes)} h"] if row.due_at_minutes is not None else []
    at += [f"{row.due_at_cycles} cycles"] if row.due_at_cycles is not None else []
    at += [_own(row, row.due_at_other)] if row.due_at_other is not None else []
    place = " ".join(filter(None, (row.position, row.inside)))
    return (
        row.band,
        row.registration or "-",
        place or "-",
        row.part_number or "-",
        row.serial_number or "-",
        row.work,
        ", ".join([when, *at]),
        _left(row),
        row.check_name or "-",
    )


def _left(row: DueRow) -> str:
    """What is left in days and in each measure that it is counted in."""
    parts = [f"{row.left_days} d"] if row.left_days is not None else []
    parts += [f"{hours_words(row.left_minutes)} h"] if row.left_minutes is not None else []
    parts += [f"{row.left_cycles} cycles"] if row.left_cycles is not None else []
    parts += [_own(row, row.left_other)] if row.left_other is not None else []
    return ", ".join(parts) or "-"


def _own(row: DueRow, value: int) -> str:
    """A total of neither flight hours nor flight cycles, by the name of its measure."""
    return f"{hours_words(value) if row.other_is_hours else value} {row.other_measure}"
