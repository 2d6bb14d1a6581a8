"""A database of its own in the same server, with an invented fleet: made, measured, dropped."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from django.apps import apps
from django.db import connection
from django.db.models import AutoField

ITEMS_OF_A_UNIT = 4
UNITS_ON_AN_AIRCRAFT = 400
SPARES_OF_FIVE = 1  # of five units one is in a store
NAME = "greenband_bench"
SLEEPERS = """
SELECT DISTINCT c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
WHERE NOT t.tgisinternal AND c.relnamespace = 'public'::regnamespace
"""


@contextmanager
def fleet_of(items: int, day: date) -> Iterator[None]:
    """A scratch database with about this many due items to be reckoned as of the day."""
    settings = connection.settings_dict
    before = settings["NAME"], settings.setdefault("TEST", {}).get("NAME")
    settings["TEST"]["NAME"] = NAME
    connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    try:
        fill(max(items // ITEMS_OF_A_UNIT, 500), day)
        yield
    finally:
        connection.creation.destroy_test_db(before[0], verbosity=0)
        settings["TEST"]["NAME"] = before[1]


def fill(units: int, day: date) -> None:
    """This will write the invented fleet, its triggers asleep: it is given as consistent."""
    crafts = max(units * (5 - SPARES_OF_FIVE) // 5 // UNITS_ON_AN_AIRCRAFT, 1)
    text = (Path(__file__).parent / "fleet.sql").read_text()
    for name, value in (("units", units), ("crafts", crafts), ("day", f"'{day:%Y-%m-%d}'")):
        text = text.replace(f":{name}", str(value))
    with connection.cursor() as cursor:
        cursor.execute(SLEEPERS)
        tables = [name for (name,) in cursor.fetchall()]
        _triggers(tables, "DISABLE")
        for statement in text.split(";\n"):
            cursor.execute(statement)
        _triggers(tables, "ENABLE")
        _set_sequences()
        cursor.execute("ANALYZE")


def settle() -> None:
    """What the server does by itself within a minute of a bulk run, done now: dead rows are cleared,
    and pages are known to be all visible."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM (ANALYZE)")


def _triggers(tables: list[str], verb: str) -> None:
    with connection.cursor() as cursor:
        for table in tables:
            cursor.execute(f'ALTER TABLE "{table}" {verb} TRIGGER USER')


def _set_sequences() -> None:
    """The next key of each table follows those given."""
    numbered = (
        model._meta.db_table
        for model in apps.get_models()
        if isinstance(model._meta.pk, AutoField) and model._meta.managed
    )
    with connection.cursor() as cursor:
        for table in numbered:
            cursor.execute("SELECT pg_get_serial_sequence(%s, 'id')", [table])
            if (sequence := cursor.fetchone()[0]) is not None:
                cursor.execute(
                    f'SELECT setval(%s, coalesce((SELECT max(id) FROM "{table}"), 0) + 1)',
                    [sequence],
                )
