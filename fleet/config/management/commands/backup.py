"""``manage.py backup FILE``: all records and the files that were brought, in one file."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import BaseCommand
from django.utils import timezone

from fleet.config.keeping.copies import SECRETS, make_backup


class Command(BaseCommand):
    help = "Writes all records and brought files into one new file; the house may be at work meanwhile."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", type=Path, help="the file to make, such as 2027-03-03.greenband"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        about = make_backup(options["file"].absolute(), at=timezone.now())
        size = options["file"].stat().st_size / 2**20
        self.stdout.write(f"Kept in {options['file']} ({size:.1f} MiB):")
        _say(self, about.counts)
        self.stdout.write(SECRETS)


def _say(command: BaseCommand, found: dict[str, int]) -> None:
    command.stdout.write(
        f"  {found['equipment_unit']:,} units, {found['equipment_movement']:,} movements,"
    )
    command.stdout.write(
        f"  {found['scheduling_workdone']:,} works done, {found['equipment_signature']:,} signatures,"
    )
    command.stdout.write(
        f"  {found['scheduling_dueitem']:,} due items, {found['fleet_user']:,} people."
    )
