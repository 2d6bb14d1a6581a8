"""Acts begun at one moment, each by a person with a connection of their own to the real database."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Barrier
from typing import TypeVar

from django.db import connection

Told = TypeVar("Told")


def _leave() -> None:
    connection.close()  # the thread's own


@contextmanager
def people(count: int = 2) -> Iterator[Callable[..., list[Told]]]:
    """``people()(act, other)`` begins both at once and gives what each returned, in their order.

    Each keeps its thread and connection to the end: PostgreSQL plans the first questions of a new
    one several times slower, which would be most of what is measured.
    """
    start = Barrier(count, timeout=60)

    def run(act: Callable[[], Told]) -> Told:
        start.wait()
        return act()

    with ThreadPoolExecutor(count) as pool:

        def at_once(*acts: Callable[[], Told]) -> list[Told]:
            assert len(acts) == count
            return list(pool.map(run, acts))

        try:
            yield at_once
        finally:
            list(pool.map(run, [_leave] * count))
