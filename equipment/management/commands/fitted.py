"""``manage.py fitted``: what was fitted on an aircraft at an instant, as our records said at another."""

from __future__ import annotations

import csv
import json
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError

from equipment.ledger.fitted import Fitted, end_of_day, fitted
from fleet.models import Aircraft
from fleet.words.said import dated_words

COLUMNS = ("position", "inside", "part_number", "standard", "serial_number", "quantity", "since")


class Command(BaseCommand):
    help = (
        "What was fitted on an aircraft at an instant (--at), as our records said at another"
        " (--known-at; now unless given). A date alone means the end of that day at the aircraft's"
        " station; a time without an offset is that station's."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--aircraft", required=True, metavar="REG")
        parser.add_argument(
            "--at", required=True, metavar="T", help="2027-03-03 or 2027-03-03T14:05"
        )
        parser.add_argument("--known-at", metavar="T")
        parser.add_argument("--format", choices=("table", "json", "csv"), default="table")

    def handle(self, *args: Any, **options: Any) -> None:
        registration = options["aircraft"].strip().upper()
        aircraft = (
            Aircraft.objects.select_related("station").filter(registration=registration).first()
        )
        if aircraft is None:
            raise CommandError(f"No aircraft has the registration {registration}.")
        zone = aircraft.station.time_zone
        known_at = options["known_at"] and _instant(options["known_at"], zone)
        rows = fitted(aircraft, _instant(options["at"], zone), known_at)
        getattr(self, f"_{options['format']}")(rows)

    def _table(self, rows: list[Fitted]) -> None:
        lines = [COLUMNS, *(tuple(str(value) for value in _values(row).values()) for row in rows)]
        widths = [max(len(line[i]) for line in lines) for i in range(len(COLUMNS))]
        for line in lines:
            cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
            self.stdout.write("  ".join(cells).rstrip())
        if not rows:
            self.stdout.write("Nothing was fitted then, as far as was known.")

    def _json(self, rows: list[Fitted]) -> None:
        for row in rows:
            shown = _values(row) | {
                "since": row.since.isoformat(),
                "precision": row.precision,
                "depth": row.depth,
                "unit_id": row.unit_id,
                "movement_id": row.movement_id,
            }
            self.stdout.write(json.dumps(shown))

    def _csv(self, rows: list[Fitted]) -> None:
        lines = csv.writer(self.stdout, lineterminator="\n")
        lines.writerow(COLUMNS)
        lines.writerows(list(_plain(_values(row).values())) for row in rows)


def _values(row: Fitted) -> dict[str, Any]:
    return {
        "position": row.position,
        "inside": " > ".join(row.path[1:]),
        "part_number": row.part_number,
        "standard": row.standard,
        "serial_number": row.serial_number,
        "quantity": row.quantity,
        "since": dated_words(row.since_on, row.precision),
    }


def _plain(values: Any) -> Iterator[Any]:
    """A cell that a spreadsheet would take for a formula is made a text."""
    for value in values:
        is_formula = isinstance(value, str) and value[:1] in ("=", "+", "-", "@")
        yield f"'{value}" if is_formula else value


def _instant(text: str, zone: str) -> datetime:
    try:
        if len(text.strip()) == len("2027-03-03"):
            return end_of_day(date.fromisoformat(text.strip()), zone)
        at = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise CommandError(
            f"“{text}” is not a date or a time: write 2027-03-03 or 2027-03-03T14:05."
        ) from error
    return at if at.tzinfo else at.replace(tzinfo=ZoneInfo(zone))
