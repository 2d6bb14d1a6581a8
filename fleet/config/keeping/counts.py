"""What a copy is compared by: the rows of every ledger and of the due list, and the tables' version."""

from __future__ import annotations

from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from fleet.config.roles import ledger_tables

#: Besides the ledgers: what is kept of them, and what is shown of it.
COUNTED = ("equipment_unit", "equipment_stay", "equipment_fittedperiod", "scheduling_dueitem")


def counted() -> dict[str, int]:
    """The number of rows of each table by which two copies are compared. A table that this version of the
    program is only about to make has none: a backup is made before."""
    names = {*ledger_tables(), *COUNTED, "fleet_user"} & set(connection.introspection.table_names())
    found = {}
    with connection.cursor() as cursor:
        for name in sorted(names):
            cursor.execute(f"SELECT count(*) FROM {connection.ops.quote_name(name)}")
            found[name] = int(cursor.fetchone()[0])
    return found


def due_digest() -> str:
    """One value of the whole due list: what is due when, of which unit and work."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT coalesce(md5(string_agg(md5(d::text), '' ORDER BY d.id)), '') FROM scheduling_dueitem d"
        )
        return str(cursor.fetchone()[0])


def applied() -> list[str]:
    """The migrations that the tables have had, as ``app.name``."""
    rows = MigrationRecorder(connection).applied_migrations()
    return sorted(f"{app}.{name}" for app, name in rows)
