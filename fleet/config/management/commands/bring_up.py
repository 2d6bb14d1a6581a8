"""Brings tables and static files up to date, and does nothing when they are."""

from __future__ import annotations

import hashlib
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import BaseCommand, call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from fleet.config.keeping.copies import has_room, make_backup
from fleet.config.private import Unusable

#: How many backups made before a change of the tables are kept.
KEPT_BEFORE = 5


class Command(BaseCommand):
    help = "Applies waiting migrations and gathers changed static files: a run's first step."

    def handle(self, *args: Any, **options: Any) -> None:
        if tables_wait():
            if has_records():
                self._keep_before()
            self.stdout.write("Tables: bringing up to date")
            call_command("migrate", interactive=False, verbosity=0)
        stamp = settings.STATIC_ROOT / ".stamp"
        state = state_of_static_files()
        if not stamp.exists() or stamp.read_text() != state:
            self.stdout.write("Static files: gathering")
            call_command("collectstatic", interactive=False, clear=True, verbosity=0)
            stamp.write_text(state)

    def _keep_before(self) -> None:
        """A copy before the tables change, of its own accord; without room for it nothing is changed."""
        path = settings.DATA_DIR / "backups" / f"before-{timezone.now():%Y-%m-%d-%H%M%S}.greenband"
        if not has_room(path):
            raise Unusable(
                "The tables are to be brought up to date, and there is no room for a backup before it. Make "
                "room on the disk of the data folder. Nothing was changed."
            )
        self.stdout.write(f"Backup before the tables change: {path}")
        make_backup(path, at=timezone.now())
        for old in sorted(path.parent.glob("before-*.greenband"))[:-KEPT_BEFORE]:
            old.unlink()


def has_records() -> bool:
    """Whether somebody is here already."""
    tables = connection.introspection.table_names()
    if "fleet_user" not in tables:
        return False
    with connection.cursor() as cursor:
        cursor.execute("SELECT EXISTS (SELECT FROM fleet_user)")
        return bool(cursor.fetchone()[0])


def tables_wait() -> bool:
    """Whether some migration is not applied yet."""
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def state_of_static_files() -> str:
    """A digest of name, size and time of every static file."""
    digest = hashlib.sha256()
    for finder in get_finders():
        for name, storage in finder.list([]):
            digest.update(f"{name} {storage.size(name)} {storage.get_modified_time(name)}".encode())
    return digest.hexdigest()
