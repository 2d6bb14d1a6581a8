"""Grants the application's account its rights again, as every migration does."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management import BaseCommand
from django.db import connection

from fleet.config import roles


class Command(BaseCommand):
    help = "Lets the application's account work with the tables, and only add to the ledger."

    def handle(self, *args: Any, **options: Any) -> None:
        with connection.cursor() as cursor:
            roles.grant(cursor, settings.APPLICATION_ACCOUNT)
        self.stdout.write(f"{settings.APPLICATION_ACCOUNT}: may only read and add to")
        for table in roles.ledger_tables():
            self.stdout.write(f"  {table}")
        self.stdout.write("and change no more than these columns of")
        for table, columns in sorted(roles.kept_tables().items()):
            self.stdout.write(f"  {table} ({', '.join(columns) or 'none'})")
