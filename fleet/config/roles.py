"""The two accounts of the database: one owns the tables, one works with them.

The owner runs migrations. Everything else signs in as the application's account, which cannot
change or delete a row of the ledger: that, more than any trigger, is what keeps the ledger.
"""

from __future__ import annotations

from typing import Any

import psycopg
from django.apps import apps
from django.db.backends.utils import CursorWrapper
from psycopg import sql

OWNER = "greenband_owner"
APPLICATION = "greenband_app"
TESTER = "greenband_test"


def make_accounts(
    admin_url: str, passwords: dict[str, str], database: str | None, *, with_tester: bool = True
) -> None:
    """This will create or refresh the accounts on a server, and the database if one is named.

    ``passwords`` has owner_password, app_password, test_password. Safe to repeat. The tester, who may
    act as both, is for the private servers only: a server of one's own has none.
    """
    wanted = {OWNER: passwords["owner_password"], APPLICATION: passwords["app_password"]}
    if with_tester:
        wanted[TESTER] = passwords["test_password"]
    with psycopg.connect(admin_url, autocommit=True) as connection:
        # Two runs that refresh one account at the same moment would fail: one waits.
        connection.execute("SELECT pg_advisory_lock(20260301)")
        for role, password in wanted.items():
            _make_account(connection, role, password)
        if with_tester:
            _let_tester_act_as_both(connection)
        if database and not _exists(connection, "pg_database", "datname", database):
            create = sql.SQL("CREATE DATABASE {} OWNER {}")
            connection.execute(create.format(sql.Identifier(database), sql.Identifier(OWNER)))


def _exists(connection: psycopg.Connection[Any], table: str, column: str, name: str) -> bool:
    query = sql.SQL("SELECT 1 FROM {} WHERE {} = %s")
    found = query.format(sql.Identifier(table), sql.Identifier(column))
    return connection.execute(found, [name]).fetchone() is not None


def _make_account(connection: psycopg.Connection[Any], role: str, password: str) -> None:
    verb = "ALTER" if _exists(connection, "pg_roles", "rolname", role) else "CREATE"
    powers = "NOCREATEDB" if role == APPLICATION else "CREATEDB"
    connection.execute(
        sql.SQL(f"{verb} ROLE {{}} LOGIN {powers} PASSWORD {{}}").format(
            sql.Identifier(role), sql.Literal(password)
        )
    )


def _let_tester_act_as_both(connection: psycopg.Connection[Any]) -> None:
    tester = sql.Identifier(TESTER)
    for role in (OWNER, APPLICATION):
        connection.execute(sql.SQL("GRANT {} TO {}").format(sql.Identifier(role), tester))
    # Emptying tables between tests must pass the triggers that refuse to empty a ledger.
    grant = "GRANT SET ON PARAMETER session_replication_role TO {}"
    connection.execute(sql.SQL(grant).format(tester))


def ledger_tables() -> list[str]:
    """Every table that some app declares as append-only (``AppConfig.ledger_tables``)."""
    return sorted({t for app in apps.get_app_configs() for t in getattr(app, "ledger_tables", ())})


def kept_tables() -> dict[str, tuple[str, ...]]:
    """Tables whose rows are never deleted, each with the columns that may change (``AppConfig.kept_tables``)."""
    found: dict[str, tuple[str, ...]] = {}
    for app in apps.get_app_configs():
        found |= getattr(app, "kept_tables", {})
    return found


def read_tables() -> list[str]:
    """Tables that only the owner writes (``AppConfig.read_tables``)."""
    return sorted({t for app in apps.get_app_configs() for t in getattr(app, "read_tables", ())})


def rights_on(table: str) -> sql.Composable:
    """What the application's account may do with a table."""
    if table in read_tables():
        return sql.SQL("SELECT")
    if table in ledger_tables():
        return sql.SQL("SELECT, INSERT")
    columns = kept_tables().get(table)
    if columns is None:
        return sql.SQL("SELECT, INSERT, UPDATE, DELETE")
    if not columns:
        return sql.SQL("SELECT, INSERT")
    changing = sql.SQL(", ").join(map(sql.Identifier, columns))
    return sql.SQL("SELECT, INSERT, UPDATE ({})").format(changing)


def grant(cursor: CursorWrapper, application: str) -> None:
    """This will let the application's account work with every table, and only add to a ledger.

    Must run as the tables' owner, after every migration. Raises :class:`LookupError` when an app
    declares a table that does not exist: a misspelt name would leave it unguarded.
    """
    cursor.execute("SELECT tablename FROM pg_tables WHERE schemaname = current_schema()")
    tables = {name for (name,) in cursor.fetchall()}
    declared = {*ledger_tables(), *kept_tables(), *read_tables()}
    if missing := declared - tables:
        raise LookupError(f"Declared to be kept but not there: {', '.join(sorted(missing))}.")
    account = sql.Identifier(application)
    for table in sorted(tables):
        name = sql.Identifier(table)
        cursor.execute(sql.SQL("REVOKE ALL ON {} FROM {}").format(name, account))
        cursor.execute(sql.SQL("GRANT {} ON {} TO {}").format(rights_on(table), name, account))
    for kind, right in (("SEQUENCES", "USAGE, SELECT"), ("FUNCTIONS", "EXECUTE")):
        statement = f"GRANT {right} ON ALL {kind} IN SCHEMA public TO {{}}"
        cursor.execute(sql.SQL(statement).format(account))
