"""The processes of a house, and how each is kept going."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from fleet.config import postgres
from fleet.config.private import Unusable

from .children import Child

LEAN = ("--without-gossip", "--without-mingle", "--without-heartbeat")
# bring_up has asked every check: a worker would import all pages to ask them again.
CELERY = ("celery", "-A", "fleet.config", "--skip-checks")
# Threads enough that a dozen half-sent requests leave some for others.
WEB = ("--workers", "2", "--threads", "16", "--preload", "--no-control-socket")
SERVER = ("--worker-class", "fleet.config.serving.server.Worker")
PATIENCE = ("--timeout", "120", "--graceful-timeout", "10", "--limit-request-line", "8190")


NAMES = ("worker", "loader", "scheduler", "web")


def command(name: str, bind: str) -> list[str]:
    """What starts one process of the house; ``bind`` is the web server's address and port."""
    python = [sys.executable, "-m"]
    if name == "web":
        return [*python, "gunicorn", "fleet.config.wsgi", "--bind", bind, *SERVER, *WEB, *PATIENCE]
    if name == "scheduler":
        return [*python, *CELERY, "beat", "--loglevel", "INFO", "--pidfile="]
    queue = {"worker": "celery", "loader": "loads"}[name]
    own = ("-n", f"{name}@%h", "-Q", queue)
    return [*python, *CELERY, "worker", "--loglevel", "INFO", *LEAN, *own]


def children(log: Path, bind: str) -> list[Child]:
    """What runs beside the database: the due list's worker, the sheets' worker, the scheduler, the web."""
    return [Child(name, command(name, bind), log / f"{name}.log") for name in NAMES]


@dataclass(slots=True)
class Watched:
    """A house that runs: what has died is started again, as often as it takes, slower each time."""

    children: list[Child]
    server: postgres.Server | None
    say: Callable[[str], None]
    # The database's deaths are counted as those of the others are.
    database: Child = field(default_factory=lambda: Child("database", [], Path(os.devnull)))

    def look(self) -> None:
        """This will look once at every part."""
        now = time.monotonic()
        if self.server is not None and self.server.pid() is None:
            self._bring_back(self.server, now)
        for child in self.children:
            if child.starts_at is None and (code := child.exit_code) is not None:
                self.say(_told(child.name, f"exit {code}", child.note_death(now)))
            child.start_if_time(now)

    def _bring_back(self, server: postgres.Server, now: float) -> None:
        if self.database.starts_at is None:
            pause = self.database.note_death(now)
            self.say(f"PostgreSQL ended; starting it again{_in(pause)}.")
        if now < (self.database.starts_at or now):
            return
        self.database.starts_at = None
        try:
            postgres.start(server)
        except Unusable as reason:
            self.say(str(reason))


def _told(name: str, how: str, pause: float) -> str:
    return f"The {name} process ended ({how}); starting it again{_in(pause)}."


def _in(pause: float) -> str:
    return f" in {pause:.0f} s" if pause else ""
