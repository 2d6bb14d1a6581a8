from __future__ import annotations

from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from fleet.doors.options import day_of
from fleet.house.pages import today
from scheduling.reckoning.bulk import finish_runs, recompute_all
from scheduling.reckoning.recompute import recompute_stale


class Command(BaseCommand):
    """Reckons and stores every due item: ``manage.py recompute [--as-of DATE] [--unfinished]``."""

    help = "Reckon and store every due item as of today (or another day)."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--as-of", type=day_of, metavar="DATE", help="as 2027-03-03")
        parser.add_argument(
            "--unfinished", action="store_true", help="only what was asked for and what is stale"
        )

    def handle(self, *args: Any, as_of: date | None, unfinished: bool, **options: Any) -> None:
        day = as_of or today()
        if unfinished:
            finished = finish_runs(as_of=day, now=timezone.now())
            taken = 0
            while found := recompute_stale(day):
                taken += found
            self.stdout.write(f"{finished} runs finished, {taken} stale units done.")
            return
        run = recompute_all(as_of=day, now=timezone.now(), why="by command")
        run.refresh_from_db()
        self.stdout.write(f"Due items as of {day:%Y-%m-%d}: {run.items} rows written.")
