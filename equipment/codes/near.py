"""Serial numbers that a reader may take for one another. They are asked about, and never made one."""

from __future__ import annotations

from collections.abc import Iterable

_LOOKS_LIKE = str.maketrans(
    {"O": "0", "I": "1", "S": "5", "B": "8", "-": None, "‐": None, "–": None, " ": None}
)


def shape_of(serial: str) -> str:
    """The serial as it looks: O as 0, I as 1, S as 5, B as 8, in capitals, no hyphen or space."""
    return serial.upper().translate(_LOOKS_LIKE)


def near_matches(serial: str, known: Iterable[str]) -> list[str]:
    """Known serials that look like this one without being it, in order."""
    shape = shape_of(serial)
    return sorted({one for one in known if one != serial and shape_of(one) == shape})
