"""The processes that a run starts, each with its log; none outlives the run."""

from __future__ import annotations

import contextlib
import ctypes
import os
import signal
import subprocess
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import psutil

#: What ends a run.
ENDING = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
LOG_BYTES = 10 * 2**20
#: Deaths so long ago, in seconds, no longer make the next start later.
FORGIVEN_SECONDS = 600.0
LONGEST_PAUSE = 60.0
_PR_SET_PDEATHSIG = 1


@dataclass(slots=True)
class Child:
    """One process to keep alive: its name for people, its command, its log file."""

    name: str
    command: list[str]
    log: Path
    process: subprocess.Popen[bytes] | None = None
    deaths: list[float] = field(default_factory=list)
    starts_at: float | None = None

    def start(self) -> None:
        """This will start the process in a group of its own, so that Ctrl-C reaches only us.

        What an earlier start left of its group (a killed worker's own children) is ended first.
        """
        self.signal(signal.SIGKILL)
        if self.log.exists() and self.log.stat().st_size > LOG_BYTES:
            self.log.replace(self.log.with_suffix(".log.1"))
        with self.log.open("ab") as log, _undisturbed():
            self.process = subprocess.Popen(
                self.command,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
                start_new_session=True,
                preexec_fn=_as_child,  # noqa: PLW1509  no threads run in the supervisor
            )

    @property
    def exit_code(self) -> int | None:
        return self.process.poll() if self.process else None

    def note_death(self, now: float) -> float:
        """This will count a death at ``now``. Returns the seconds until it is started again.

        It is started again as often as it takes: at once, then after 1, 2, 4 seconds, at most a minute.
        """
        self.deaths = [t for t in self.deaths if now - t < FORGIVEN_SECONDS] + [now]
        earlier = len(self.deaths) - 1
        pause = min(2.0 ** (earlier - 1), LONGEST_PAUSE) if earlier else 0.0
        self.starts_at = now + pause
        return pause

    def start_if_time(self, now: float) -> None:
        """This will start it again once its pause is over."""
        if self.starts_at is not None and now >= self.starts_at:
            self.starts_at = None
            self.start()

    def signal(self, number: signal.Signals) -> None:
        if self.process:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.process.pid, number)

    @property
    def is_gone(self) -> bool:
        return self.process is None or (
            self.process.poll() is not None and not _group_lives(self.process.pid)
        )

    def last_lines(self, count: int = 5) -> str:
        lines = self.log.read_text(errors="replace").splitlines() if self.log.exists() else []
        return "\n".join(lines[-count:])


def end(children: Iterable[Child], patience: float = 15.0) -> None:
    """This will ask every child to finish, and end by force what has not after ``patience`` s."""
    left = [child for child in children if not child.is_gone]
    for number, seconds in (
        (signal.SIGTERM, patience),
        (signal.SIGQUIT, 3.0),
        (signal.SIGKILL, 5.0),
    ):
        for child in left:
            child.signal(number)
        deadline = time.monotonic() + seconds
        while left and time.monotonic() < deadline:
            left = [child for child in left if not child.is_gone]
            time.sleep(0.05)


def end_leftovers(folder: Path) -> None:
    """This will end what a killed run left behind: told by its command and its data folder."""
    found = [process for process in psutil.process_iter() if _is_left_over(process, folder)]
    for process in found:
        process.kill()
    psutil.wait_procs(found, timeout=5)


def _is_left_over(process: psutil.Process, folder: Path) -> bool:
    try:
        command = " ".join(process.cmdline())
        started = "celery -A fleet.config" in command or "gunicorn fleet.config" in command
        return started and process.environ().get("GREENBAND_DATA") == str(folder)
    except (OSError, psutil.Error):
        return False


def _group_lives(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    # A signal that arrived between fork and assignment would leave a process nobody knows of.
    signal.pthread_sigmask(signal.SIG_BLOCK, ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)


def _as_child() -> None:
    signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)
    # A run that is killed outright cannot end its children: the kernel does (Linux only).
    libc = ctypes.CDLL(None)
    if hasattr(libc, "prctl"):
        libc.prctl(_PR_SET_PDEATHSIG, signal.SIGTERM)
