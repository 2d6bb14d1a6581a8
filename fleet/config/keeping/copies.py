"""Backup and restore: the database, the files that were brought, and what they are compared by, as one file."""

from __future__ import annotations

import io
import json
import shutil
import tarfile
import tempfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from fleet.config.private import Unusable
from fleet.house.disk import room

from . import counts
from .programs import run

FORMAT = 1
ABOUT, DUMP, FILES = "about.json", "database.dump", "uploads"
SECRETS = (
    "The secrets of the installation are not in this file: they are in secrets.json of its data folder (or in "
    "the environment). Without them people sign in anew; no record needs them."
)


@dataclass(frozen=True, slots=True)
class About:
    """What a backup says of itself."""

    made_at: str
    migrations: list[str]
    counts: dict[str, int]
    due: str
    secrets: str = SECRETS
    format: int = FORMAT


def make_backup(path: Path, *, at: datetime) -> About:
    """This will write the house's records into one new file, whole or not at all.

    The house may be at work meanwhile: the database is copied as it was at one moment. Raises
    :class:`Unusable` where the file is there already, or there is no room.
    """
    if path.exists():
        raise Unusable(f"{path} is there already: give another name, nothing is overwritten.")
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f".{path.name}.draft")
    try:
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".greenband-") as folder:
            dump = Path(folder) / DUMP
            about = _dump(dump, at)
            _pack(draft, dump, about)
        draft.replace(path)
    except OSError as fault:
        raise Unusable(f"The backup could not be written: {fault.strerror}.") from fault
    finally:
        draft.unlink(missing_ok=True)
    return about


def _dump(dump: Path, at: datetime) -> About:
    """The database as it is at one moment, and what it is compared by as it was at the same."""
    options = ("--format=custom", "--no-owner", "--no-privileges", f"--file={dump}")
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            cursor.execute("SELECT pg_export_snapshot()")
            (moment,) = cursor.fetchone()
        run("pg_dump", *options, f"--snapshot={moment}")
        return About(at.isoformat(), counts.applied(), counts.counted(), counts.due_digest())


def _pack(path: Path, dump: Path, about: About) -> None:
    with tarfile.open(path, "w") as packed:
        path.chmod(0o600)
        text = json.dumps({name: getattr(about, name) for name in About.__slots__}, indent=1)
        entry = tarfile.TarInfo(ABOUT)
        entry.size = len(text.encode())
        packed.addfile(entry, io.BytesIO(text.encode()))
        packed.add(dump, arcname=DUMP)
        files = Path(settings.DATA_DIR) / FILES
        if files.exists():
            packed.add(files, arcname=FILES)


def restore(path: Path) -> About:
    """This will bring the records of a backup into an empty house, bring its tables up to date, and compare.

    Refuses (:class:`Unusable`) a house in which people are, a file that is no backup, one made by a later
    version of the program; on any fault the database is empty of records as before.
    """
    with _opened(path) as packed:
        about = _read_about(packed)
        _refuse_living()
        _refuse_later(about)
        with tempfile.TemporaryDirectory(dir=settings.DATA_DIR, prefix=".restore-") as folder:
            packed.extractall(folder, filter="data")
            _bring_in(Path(folder))
    _compare(about)
    return about


def _opened(path: Path) -> tarfile.TarFile:
    try:
        return tarfile.open(path, "r:")
    except (OSError, tarfile.TarError):
        raise Unusable(f"{path} is no backup of Greenband, or cannot be read.") from None


def _read_about(packed: tarfile.TarFile) -> About:
    try:
        member = packed.extractfile(ABOUT)
        told: dict[str, Any] = json.loads(member.read()) if member else {}
        about = About(**told)
    except (KeyError, ValueError, TypeError, tarfile.TarError):
        raise Unusable("This file is no backup of Greenband, or is torn.") from None
    if about.format != FORMAT:
        raise Unusable(f"This backup has format {about.format}; this program reads {FORMAT}.")
    return about


def _refuse_living() -> None:
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table in {"fleet_user", "fleet_aircraft", "equipment_unit"} & tables:
            cursor.execute(f"SELECT EXISTS (SELECT FROM {table})")
            if cursor.fetchone()[0]:
                raise Unusable(
                    "There are records here already: a backup is restored into an empty house only. Name "
                    "another data folder (GREENBAND_DATA) or an empty database. Nothing was changed."
                )


def _refuse_later(about: About) -> None:
    loader = MigrationExecutor(connection).loader
    ours = {app for app, _ in loader.disk_migrations}
    known = {f"{app}.{name}" for app, name in loader.disk_migrations}
    replaced = {
        f"{app}.{name}" for each in loader.replacements.values() for app, name in each.replaces
    }
    later = [
        name
        for name in about.migrations
        if name.partition(".")[0] in ours and name not in known | replaced
    ]
    if later:
        raise Unusable(
            f"This backup was made by a later version of the program ({later[-1]}). Restore it with that "
            "version. Nothing was changed."
        )


def _bring_in(folder: Path) -> None:
    empty()
    try:
        run(
            "pg_restore",
            "--no-owner",
            "--no-privileges",
            "--no-comments",
            "--single-transaction",
            "--exit-on-error",
            f"--dbname={connection.settings_dict['NAME']}",
            str(folder / DUMP),
        )
    except Unusable:
        call_command("migrate", interactive=False, verbosity=0)
        raise
    call_command("migrate", interactive=False, verbosity=0)
    call_command("grant_roles", verbosity=0)
    if (folder / FILES).exists():
        shutil.copytree(folder / FILES, Path(settings.DATA_DIR) / FILES, dirs_exist_ok=True)


# Everything of ours in the schema, and the schema itself left as it is: who owns it differs by server.
EMPTY = """
DO $$
DECLARE each record;
BEGIN
    FOR each IN SELECT format('DROP TABLE IF EXISTS %I CASCADE', relname) AS say FROM pg_class
        WHERE relkind IN ('r', 'p') AND relnamespace = 'public'::regnamespace LOOP
        EXECUTE each.say;
    END LOOP;
    FOR each IN SELECT format('DROP EXTENSION IF EXISTS %I CASCADE', extname) AS say FROM pg_extension
        WHERE extnamespace = 'public'::regnamespace LOOP
        EXECUTE each.say;
    END LOOP;
    FOR each IN SELECT format('DROP SEQUENCE IF EXISTS %I CASCADE', relname) AS say FROM pg_class
        WHERE relkind = 'S' AND relnamespace = 'public'::regnamespace LOOP
        EXECUTE each.say;
    END LOOP;
    FOR each IN SELECT format('DROP ROUTINE IF EXISTS %s CASCADE', oid::regprocedure) AS say FROM pg_proc
        WHERE pronamespace = 'public'::regnamespace LOOP
        EXECUTE each.say;
    END LOOP;
END $$
"""


def empty() -> None:
    """This will drop every table of a database in which nobody is."""
    with connection.cursor() as cursor:
        cursor.execute(EMPTY)
    connection.close()


def _compare(about: About) -> None:
    now = counts.counted()
    differ = [
        f"{name}: {count} then, {now.get(name)} now"
        for name, count in about.counts.items()
        if now.get(name) != count
    ]
    if not differ and counts.applied() == about.migrations and counts.due_digest() != about.due:
        differ = ["the due list"]
    if differ:
        raise Unusable(f"What was restored differs from what was kept: {'; '.join(differ)}.")


def has_room(path: Path) -> bool:
    """Whether a copy of the database would fit: as large as it is on the disk, and some more."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_database_size(current_database())")
        size = int(cursor.fetchone()[0])
    return room() > size + settings.LEAST_ROOM // 10
