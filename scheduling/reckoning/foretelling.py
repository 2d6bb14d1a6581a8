"""While an act is done only to say what it would move, the stored list does not follow: all is taken back, and what it
moves is reckoned beside."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_IS_FORETELLING: ContextVar[bool] = ContextVar("is_foretelling", default=False)


@contextmanager
def foretelling() -> Iterator[None]:
    """Within, changed facts leave the stored list as it is."""
    was = _IS_FORETELLING.set(True)
    try:
        yield
    finally:
        _IS_FORETELLING.reset(was)


def is_foretelling() -> bool:
    return _IS_FORETELLING.get()
