"""The stamp of a cylinder's requalification, as 49 CFR 180.213(d) sets it: the requalifier's number in a
square between month and year, read round it; behind the year a symbol of the method (180.213(f))."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from .dates import full_year

#: Symbol behind the year -> (method, the pressure is measured, the expansion is measured).
METHODS: dict[str, tuple[str, bool, bool]] = {
    "": ("volumetric", True, True),
    "★": ("volumetric, ten years", True, True),
    "+": ("volumetric, 10 % over", True, True),
    "S": ("proof pressure", True, False),
    "E": ("external visual", False, False),
    "FS": ("shell and filler", False, False),
    "AE": ("acoustic emission", False, False),
    "UE": ("ultrasonic", False, False),
    "VE": ("eddy current and visual", False, False),
}
_SYMBOLS = "|".join(re.escape(each) for each in sorted(METHODS, key=len, reverse=True) if each)
_STAMP = re.compile(
    rf"([A-Z])([0-9])\s+(0?[1-9]|1[0-2])[\s/-]+([0-9]{{2}})\s*({_SYMBOLS})?\s+([0-9])([0-9])"
)


@dataclass(frozen=True, slots=True)
class CylinderStamp:
    """What a stamp says: who, the first day of the month, by which symbol of method."""

    requalifier: str
    month: date
    symbol: str

    @property
    def method(self) -> str:
        return METHODS[self.symbol][0]


def read_stamp(text: str, year: int) -> CylinderStamp | None:
    """The stamp's three lines in their order, ``A1  9 06  32``; None of what is no such stamp.

    The number goes round the square: upper left, upper right, lower right, lower left; 32 below A1 is A123.
    """
    found = _STAMP.fullmatch(" ".join(text.upper().replace("*", "★").split()))
    if found is None:
        return None
    first, second, month, short, symbol, fourth, third = found.groups()
    day = date(full_year(int(short), year), int(month), 1)
    return CylinderStamp(first + second + third + fourth, day, symbol or "")
