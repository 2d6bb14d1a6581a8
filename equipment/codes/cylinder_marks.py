"""What is stamped on a cylinder: its specification and service pressure, its marks, and the stamp of its
requalification as 49 CFR 180.213(d) sets it: the requalifier's number in a square between month and year, read
round it; behind the year a symbol of the method (180.213(f))."""

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


#: The specifications of 49 CFR 180.209(a) Table 1, as they are stamped behind DOT (or ICC, of old).
SPECIFICATIONS = (
    *(
        "3",
        "3A",
        "3AA",
        "3AL",
        "3AX",
        "3AAX",
        "3B",
        "3BN",
        "3E",
        "3HT",
        "3T",
        "4AA480",
        "4B",
        "4BA",
    ),
    *("4BW", "4B-240ET", "4D", "4DA", "4DS", "4E", "4L", "8", "8AL"),
)
_KNOWN = "|".join(sorted((re.escape(each) for each in SPECIFICATIONS), key=len, reverse=True))
_SPECIFIED = re.compile(rf"(?:DOT|ICC)?[\s-]*({_KNOWN})(?:[\s-]*([0-9]{{3,5}})(?:\s*PSIG?)?)?")
_PERMIT = re.compile(
    r"(?:DOT|ICC)?[\s-]*(?:SP|E)[\s-]*([0-9]{3,6})(?:[\s-]+([0-9]{3,5})(?:\s*PSIG?)?)?"
)
#: Marks behind a date that stay with the cylinder: filled 10 % over, tested every ten years, looked at outside.
MARKS = ("+", "★", "E")


@dataclass(frozen=True, slots=True)
class Specified:
    """A specification as stamped: ``DOT-3AA1850`` is 3AA at 1850 psig, ``DOT-E 8162`` the permit SP 8162.
    Of another marking the words stand as they are, in capitals."""

    code: str
    service_psig: int | None = None
    is_permit: bool = False

    @property
    def is_in_table(self) -> bool:
        """Whether 180.209(a) Table 1 has a row of it by its name."""
        return self.code in SPECIFICATIONS


def read_specification(text: str) -> Specified | None:
    """The specification that is stamped; None of nothing."""
    plain = " ".join(text.upper().split())
    plain = plain.replace("4B240ET", "4B-240ET").replace("4B 240ET", "4B-240ET")
    if not plain:
        return None
    if found := _SPECIFIED.fullmatch(plain):
        return Specified(found[1], int(found[2]) if found[2] else None)
    if found := _PERMIT.fullmatch(plain):
        return Specified(f"SP {found[1]}", int(found[2]) if found[2] else None, is_permit=True)
    return Specified(plain)


def read_marks(text: str) -> tuple[str, ...] | None:
    """The marks that a text names, in their order: ``+ *`` is ``("+", "★")``; None of what is no such mark."""
    plain = re.sub(r"[\s,;/]|AND", "", text.upper().replace("STAR", "★")).replace("*", "★")
    plain = plain.replace("☆", "★").replace("PLUS", "+")
    if set(plain) - set(MARKS):
        return None
    return tuple(mark for mark in MARKS if mark in plain)
