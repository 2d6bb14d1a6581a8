"""PostgreSQL's own programs that copy a database, and the address they are given without its password."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

from django.db import connection

from fleet.config.postgres import PROGRAMS
from fleet.config.private import Unusable


def run(program: str, *arguments: str) -> None:
    """This will run ``pg_dump`` or ``pg_restore`` on the owner's database; the password goes by the environment.

    Raises :class:`Unusable` with the program's last words.
    """
    settings = connection.settings_dict
    told = {"PGHOST": settings["HOST"], "PGPORT": settings["PORT"], "PGUSER": settings["USER"]}
    told |= {"PGPASSWORD": settings["PASSWORD"], "PGDATABASE": settings["NAME"]}
    for name in ("sslmode", "sslrootcert", "sslcert", "sslkey"):
        if value := settings["OPTIONS"].get(name):
            told[f"PG{name.upper()}"] = str(value)
    environment = {**os.environ, **{name: str(value) for name, value in told.items() if value}}
    result = subprocess.run(
        [_found(program), *arguments],
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if result.returncode != 0:
        words = result.stderr.strip().splitlines() or ["it gave no reason"]
        raise Unusable(f"{program} did not succeed: {words[-1]}")


def _found(program: str) -> str:
    """The wheel's, which is of the newest version that is served; else the machine's own."""
    own = Path(PROGRAMS / program)
    return str(own) if own.exists() else shutil.which(program) or program
