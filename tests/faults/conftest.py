from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date

import pytest

from scheduling.bench.scratch import fill

DAY = date(2026, 11, 25)
UNITS = 500


@pytest.fixture
def fleet(as_owner: Callable[[], AbstractContextManager[None]]) -> None:
    """500 invented units on one aircraft and in four stores, four due items to a unit."""
    with as_owner():
        fill(UNITS, DAY)
