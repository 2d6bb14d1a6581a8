"""A whole database kept in memory and put back: the demonstration takes half a minute to load."""

from __future__ import annotations

import fcntl
import io
import pickle
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import psycopg
from django.core.management import call_command
from django.db import connection
from django.test import TransactionTestCase

from tests.conftest import acting_as_owner

TABLES = """
SELECT c.oid::regclass::text, string_agg(quote_ident(a.attname), ', ' ORDER BY a.attnum)
FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND a.attgenerated = ''
  AND c.relname <> 'django_migrations'
GROUP BY c.oid ORDER BY 1
"""
SEQUENCES = (
    "SELECT quote_ident(sequencename), last_value FROM pg_sequences WHERE last_value IS NOT NULL"
)


@dataclass(frozen=True, slots=True)
class Kept:
    """The rows of every table as PostgreSQL copies them, and where its sequences stand."""

    tables: dict[str, bytes]
    sequences: dict[str, int]


def keep() -> Kept:
    """Everything that is in the database now."""
    with connection.cursor() as cursor:
        cursor.execute(TABLES)
        named = cursor.fetchall()
        tables = {}
        for table, columns in named:
            with cursor.copy(f"COPY {table} ({columns}) TO STDOUT (FORMAT BINARY)") as copy:
                tables[f"{table} ({columns})"] = b"".join(bytes(part) for part in copy)
        cursor.execute(SEQUENCES)
        return Kept(tables, dict(cursor.fetchall()))


def put_back(kept: Kept) -> None:
    """This will make the database what it was; triggers sleep, every constraint holds."""
    with acting_as_owner(), connection.cursor() as cursor:
        _copied(kept, cursor)


def put_into(kept: Kept, url: str) -> None:
    """The same into another database with the same tables, as its administrator."""
    with psycopg.connect(url) as opened, opened.cursor() as cursor:
        cursor.execute("SET session_replication_role = replica")
        _copied(kept, cursor)


def _copied(kept: Kept, cursor: Any) -> None:
    names = ", ".join(name.partition(" ")[0] for name in kept.tables)
    cursor.execute(f"TRUNCATE {names}")
    for table, rows in kept.tables.items():
        with cursor.copy(f"COPY {table} FROM STDIN (FORMAT BINARY)") as copy:
            copy.write(rows)
    for sequence, value in kept.sequences.items():
        cursor.execute("SELECT setval(%s, %s)", [sequence, value])


def put_demonstration(day: date, shared: Path) -> None:
    """The demonstration of ``day``, today's: loaded by whichever process of a run needs it first, and
    kept in the run's own folder for all."""
    kept, was_loaded = _demonstration(day, shared)
    if not was_loaded:
        put_back(kept)


def kept_demonstration(day: date, shared: Path) -> Kept:
    """The same for another database; this one is left as empty as it was."""
    kept, was_loaded = _demonstration(day, shared)
    if was_loaded:
        TransactionTestCase(methodName="__init__")._fixture_teardown()
    return kept


def _demonstration(day: date, shared: Path) -> tuple[Kept, bool]:
    """The demonstration, and whether it was loaded into this database just now."""
    path = shared / f"demonstration-{day}"
    with (shared / "demonstration.lock").open("a") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not path.exists():
            call_command("load_demo", stdout=io.StringIO())
            kept = keep()
            path.write_bytes(pickle.dumps(kept))
            return kept, True
    kept = pickle.loads(path.read_bytes())
    return kept, False
