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


def is_one_off(serial: str, other: str) -> bool:
    """Whether two serials differ in one character (another, one more, one less, two next to each other
    the wrong way round), or only in what looks alike. The same serial is not one off."""
    one, two = serial.strip().upper(), other.strip().upper()
    if one == two:
        return False
    if shape_of(one) == shape_of(two):
        return True
    begin = next((at for at, (a, b) in enumerate(zip(one, two, strict=False)) if a != b), None)
    at = min(len(one), len(two)) if begin is None else begin
    rest, other_rest = one[at:], two[at:]
    is_swapped = rest[:2] == other_rest[1::-1] and rest[2:] == other_rest[2:] and len(rest) > 1
    return (
        rest[1:] == other_rest[1:] or rest[1:] == other_rest or rest == other_rest[1:] or is_swapped
    )
