"""The parts of scipy that solving uses, loaded when the first is asked for.

Each process of the house would spend a fifth of its start and some 40 MB on them, and most never solve.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from typing import Any


@cache
def sparse() -> Any:
    """``scipy.sparse``: tables of which most places are empty."""
    return import_module("scipy.sparse")


@cache
def graphs() -> Any:
    """``scipy.sparse.csgraph``: what hangs together, and the cheapest assignment."""
    return import_module("scipy.sparse.csgraph")


@cache
def special() -> Any:
    """``scipy.special``: the tails of distributions."""
    return import_module("scipy.special")
