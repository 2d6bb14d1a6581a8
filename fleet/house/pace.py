"""How far a long act is, told to whoever watches; told to nobody it costs nothing. Like a log, no act
depends on it. Shares are of the part at work: 0 at its beginning, 1 at its end."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

Watcher = Callable[[float, str], None]
Item = TypeVar("Item")

_watcher: ContextVar[Watcher | None] = ContextVar("pace", default=None)
EVERY = 5_000


@contextmanager
def watched(by: Watcher) -> Iterator[None]:
    """What is done inside is told to ``by``: the share done, and what is at work, in words."""
    before = _watcher.set(by)
    try:
        yield
    finally:
        _watcher.reset(before)


@contextmanager
def part(low: float, high: float) -> Iterator[None]:
    """What is done inside is from ``low`` to ``high`` of the part around it."""
    outer = _watcher.get()
    if outer is None:
        yield
        return
    around = outer
    with watched(lambda share, words: around(low + share * (high - low), words)):
        yield


def reached(share: float, words: str) -> None:
    """This will tell that so much is done, and what comes now."""
    if watcher := _watcher.get():
        watcher(share, words)


def pieces(items: Sequence[Item], words: str, size: int = EVERY) -> Iterator[Sequence[Item]]:
    """The items in pieces, telling before each how much is done."""
    for start in range(0, len(items), size):
        reached(start / len(items), words)
        yield items[start : start + size]
