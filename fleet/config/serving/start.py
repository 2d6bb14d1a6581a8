"""``python -m fleet.config.serving.start NAME``: one process of the house, for a service manager or a container.

NAME is prepare (once, before all others), web, worker, loader or scheduler; ``healthy`` asks /readyz and
says by its exit whether requests can be served. Where these run nobody else brings them back: that is the
service manager's part. A database must be named.
"""

from __future__ import annotations

import os
import sys
import time
import urllib.request

import psycopg

from fleet.config.private import ROOT, Unusable, made_folder

from . import address, production
from .preparing import prepare
from .processes import NAMES, command

#: How long a start waits for a database that is not there yet.
DATABASE_SECONDS = float(os.environ.get("DATABASE_SECONDS") or 120)


def main(arguments: list[str]) -> int:
    """The exit code of what was asked for; the processes that stay become this one."""
    known = {"prepare": _prepare, "healthy": _healthy, **dict.fromkeys(NAMES, _become)}
    if len(arguments) != 1 or arguments[0] not in known:
        print(f"greenband: name one of {', '.join(known)}.", file=sys.stderr)
        return 2
    try:
        known[arguments[0]](arguments[0])
    except Unusable as reason:
        print(f"greenband: {reason}", file=sys.stderr)
        return 1
    return 0


def _prepare(_: str) -> None:
    _refuse_private()
    production.refuse_faults(production.faults())
    _await_database()
    prepare(made_folder())


def _become(name: str) -> None:
    _refuse_private()
    production.refuse_faults(production.faults())
    os.environ["GREENBAND_DATA"] = str(made_folder())
    os.chdir(ROOT)
    line = command(name, f"{address.bound_at()}:{address.port()}")
    os.execv(line[0], line)  # noqa: S606  the service manager watches this very process


def _healthy(_: str) -> None:
    try:
        with urllib.request.urlopen(f"http://{address.reached_at()}/readyz", timeout=5):
            return
    except OSError as fault:
        raise Unusable(f"not ready: {fault}") from None


def _await_database() -> None:
    """After a start of the whole machine the database may be there a little later."""
    deadline = time.monotonic() + DATABASE_SECONDS
    while True:
        try:
            psycopg.connect(os.environ["DATABASE_URL"], connect_timeout=5).close()
            return
        except psycopg.OperationalError as fault:
            if time.monotonic() > deadline:
                where = f"{fault}".strip().splitlines()[-1]
                words = f"The database in DATABASE_URL cannot be reached: {where}"
                raise Unusable(words) from None
            time.sleep(1)


def _refuse_private() -> None:
    """The private server belongs to ``make run``, which starts and ends it."""
    if not os.environ.get("DATABASE_URL"):
        raise Unusable(
            "DATABASE_URL names no database. Run manage.py make_accounts ADMIN_URL, which makes one with its "
            "two accounts; or let fleet.config.run start everything, a private database too."
        )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
