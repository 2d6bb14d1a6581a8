"""Times as a stopwatch shows them: 9:59, 1:30, 1:02:03."""

from __future__ import annotations

import re
from decimal import Decimal

from equipment.judging.verdicts import Problem

from .units import unit_named

_FACE = re.compile(r"([0-9]{1,4}):([0-9]{1,2})(?::([0-9]{1,2}))?\s*([^0-9:]*)")


def is_clock_face(text: str) -> bool:
    """Whether a time is written with colons."""
    return ":" in text


def read_clock_face(text: str, unit: str) -> tuple[Decimal, str] | Problem:
    """Seconds, and ``s``: 9:59 is minutes and seconds, or hours and minutes if the unit is hours.

    A unit behind the figures wins over the chosen one; three groups are hours, minutes, seconds.
    """
    found = _FACE.fullmatch(text.strip()[:40])
    if not found:
        return _unclear(text)
    named = unit_named(found[4].strip(), "time") if found[4].strip() else unit
    parts = [int(part) for part in found.group(1, 2, 3) if part is not None]
    if named is None or any(part > 59 for part in parts[1:]):
        return _unclear(text)
    if len(parts) == 2:
        parts = [*parts, 0] if named == "h" else [0, *parts]
    hours, minutes, seconds = parts
    return Decimal(hours * 3600 + minutes * 60 + seconds), "s"


def _unclear(text: str) -> Problem:
    sentence = f"“{text.strip()[:40]}” is not a time. Enter minutes and seconds such as 9:59."
    return Problem("not_a_time", sentence)
