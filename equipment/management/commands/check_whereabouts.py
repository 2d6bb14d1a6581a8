"""``manage.py check_whereabouts``: is what is kept of the ledger what the ledger says?"""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from equipment.keeping.repair import check_whereabouts


class Command(BaseCommand):
    help = (
        "Re-derives where every unit was, and what our records said of it when, from the ledger"
        " alone; lists every difference from what is kept. Ends with 1 if there was one."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--repair", action="store_true", help="Set right what differs.")

    def handle(self, *args: Any, **options: Any) -> None:
        count = 0
        for difference in check_whereabouts(is_repairing=options["repair"]):
            count += 1
            self.stdout.write(f"unit {difference.unit_id}: {difference.what}")
        done = "set right" if options["repair"] else "found; --repair sets them right"
        self.stdout.write(f"{count} differences {done}." if count else "Everything agrees.")
        if count:
            sys.exit(1)
