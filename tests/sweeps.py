"""Every value in every field, every state at every door: thousands of pairs, each by itself cheap and together long.

``make test`` asks each value and each field at least once, by turns, and some of many rounds; ``make faults`` asks
all of them together (``GREENBAND_SWEEP=1``, tests marked ``sweep``).
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")
IS_WHOLE = bool(os.environ.get("GREENBAND_SWEEP"))


def by_turns(several: Sequence[T], turn: int, of: int) -> list[T]:
    """Every ``of``-th of several, another part each turn; all of them in a whole sweep. Never none."""
    part = list(several[turn % of :: of])
    return list(several) if IS_WHOLE or not part else part


def many(whole: int, some: int) -> int:
    """So many rounds or examples: some of them in ``make test``, the whole number in a sweep."""
    return whole if IS_WHOLE else some
