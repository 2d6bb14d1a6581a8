"""Counts of answered requests, shared by all processes of the web server: each adds, any reads the sum.

They stand in memory that the processes share by their fork (``--preload``), and begin anew with the server.
The lock is the kernel's: a process that is killed while it counts leaves it open.
"""

from __future__ import annotations

import fcntl
import mmap
import os
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

DOORS = ("api", "page", "file")
FIRST_STATUS, LAST_STATUS = 100, 599
#: Seconds up to which an answer is counted in a class; the last is every longer one.
WITHIN = (0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)
_STATUSES = LAST_STATUS - FIRST_STATUS + 1
_OF_A_DOOR = _STATUSES + len(WITHIN) + 2  # and those beyond the last class, and the seconds in all
_WORD = 8


@dataclass(frozen=True, slots=True)
class Durations:
    """How long the answers at one door took: so many within each of WITHIN and beyond, and all seconds."""

    counts: list[int]
    seconds: float


class Tally:
    """The counts. An answer is counted once, whichever process gave it."""

    def __init__(self) -> None:
        self._memory = mmap.mmap(-1, _WORD * _OF_A_DOOR * len(DOORS))
        self._cells = memoryview(self._memory).cast("d")
        self._lock = _lock_file()
        self._threads = threading.Lock()

    def note(self, door: str, status: int, seconds: float) -> None:
        """This will count one answer."""
        first = DOORS.index(door) * _OF_A_DOOR
        place = min(max(status, FIRST_STATUS), LAST_STATUS) - FIRST_STATUS
        time_class = sum(seconds > most for most in WITHIN)
        with self._alone():
            self._cells[first + place] += 1
            self._cells[first + _STATUSES + time_class] += 1
            self._cells[first + _OF_A_DOOR - 1] += seconds

    def answers(self) -> Iterator[tuple[str, int, int]]:
        """(door, status, how many) of every status that was given."""
        for number, door in enumerate(DOORS):
            first = number * _OF_A_DOOR
            for place in range(_STATUSES):
                if count := int(self._cells[first + place]):
                    yield door, place + FIRST_STATUS, count

    def durations(self) -> dict[str, Durations]:
        """By door."""
        found = {}
        for number, door in enumerate(DOORS):
            first = number * _OF_A_DOOR
            classes = self._cells[first + _STATUSES : first + _OF_A_DOOR - 1]
            seconds = float(self._cells[first + _OF_A_DOOR - 1])
            found[door] = Durations([int(count) for count in classes], seconds)
        return found

    @contextmanager
    def _alone(self) -> Iterator[None]:
        with self._threads:
            fcntl.lockf(self._lock, fcntl.LOCK_EX)
            try:
                yield
            finally:
                fcntl.lockf(self._lock, fcntl.LOCK_UN)


def _lock_file() -> int:
    """A file without a name, to lock: in memory where the system has that, so that no full disk refuses it."""
    if hasattr(os, "memfd_create"):
        return os.memfd_create("greenband-tally")
    with tempfile.TemporaryFile() as made:
        return os.dup(made.fileno())


#: Of this server: made before it forks.
TALLY = Tally()
