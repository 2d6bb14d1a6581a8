"""``manage.py restore FILE``: the records of a backup into an empty house."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import BaseCommand

from fleet.config.keeping.copies import restore

from .backup import _say


class Command(BaseCommand):
    help = (
        "Brings the records of a backup into an empty house, and compares them with what was kept."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a file that backup made")

    def handle(self, *args: Any, **options: Any) -> None:
        about = restore(options["file"].absolute())
        self.stdout.write(
            f"Restored as it was on {about.made_at[:16].replace('T', ' ')} UTC; all counts agree:"
        )
        _say(self, about.counts)
