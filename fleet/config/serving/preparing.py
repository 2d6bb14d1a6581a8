"""What is done before anything is served: tables and files brought up to date, what is unfit refused."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from fleet.config import databases
from fleet.config.private import ROOT, Unusable

from . import production

CHECKING = "bring_up"  # asks Django's checks; the steps after it need not again


def prepare(folder: Path) -> None:
    """This will bring the house in a data folder up to date. Raises :class:`Unusable` where it may not serve."""
    (folder / "log").mkdir(exist_ok=True)
    manage("bring_up")
    if production.shows_demonstration():
        manage("load_demo", "--if-empty")
    if production.is_meant():
        manage("refuse_unsafe")


def manage(*arguments: str) -> None:
    """This will run one management command; its words go to the terminal."""
    role = "owner" if arguments[0] in databases.OWNER_COMMANDS else "application"
    checked = () if arguments[0] == CHECKING else ("--skip-checks",)
    result = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), *arguments, *checked],
        env={**os.environ, "GREENBAND_AS": role},
        stdin=subprocess.DEVNULL,
        check=False,
    )
    if result.returncode != 0:
        raise Unusable(f"The step 'manage.py {arguments[0]}' failed; its own words are above.")
