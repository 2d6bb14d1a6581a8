#!/usr/bin/env python3
"""The command line of the project."""

import contextlib
import os
import sys

from django.core.management import execute_from_command_line

from fleet.config import databases
from fleet.config.private import Unusable

# Commands that need no database, or that bring their own.
WITHOUT_DATABASE = {
    "help",
    "version",
    "check",
    "collectstatic",
    "make_accounts",
    "spectacular",
    "--help",
    "--version",
}


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "fleet.config.settings")
    command = sys.argv[1] if len(sys.argv) > 1 else "help"
    if command in databases.OWNER_COMMANDS:
        os.environ.setdefault("GREENBAND_AS", "owner")
    needs_private = databases.is_private() and command not in WITHOUT_DATABASE
    try:
        with databases.private_ready() if needs_private else contextlib.nullcontext():
            execute_from_command_line(sys.argv)
    except Unusable as reason:
        sys.exit(f"greenband: {reason}")


if __name__ == "__main__":
    main()
