"""What was read in a mark on a part, and what is doubtful about it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something in a mark that a person must look at: a stable code, and a sentence with what to do."""

    code: str
    message: str


@dataclass(frozen=True, slots=True)
class Dated:
    """A day as marked; for a mark with month and year only it is the month's last day."""

    on: date
    is_month: bool = False


@dataclass(frozen=True, slots=True)
class Element:
    """One identifier and its value, as they stand in the mark."""

    identifier: str
    value: str


@dataclass(frozen=True, slots=True)
class Mark:
    """The facts of a mark; None is *not said*. A fact that is doubtful is left out and in ``doubts``.

    ``sort``: format_06, format_12, format_05, gs1, labelled, plain or empty. ``supplier_code`` is a code that
    gave the part its serial without having made it. ``unique_by`` names what makes the serial
    unique: maker_serial, maker_part_serial, supplier_serial, or nothing. ``asset`` is the number of an asset (GS1
    8004): of one thing, but neither its part number nor its serial number.
    """

    sort: str
    text: str
    maker_code: str | None = None
    supplier_code: str | None = None
    part_number: str | None = None
    original_part_number: str | None = None
    serial: str | None = None
    lot: str | None = None
    manufactured: Dated | None = None
    expires: Dated | None = None
    unique_by: str = ""
    elements: tuple[Element, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    asset: str | None = None

    @property
    def is_misread(self) -> bool:
        """Whether a check digit is wrong: then no fact of it can be trusted, also one that was read."""
        return any(each.code == "check_digit_wrong" for each in self.doubts)

    @property
    def keyed_part_number(self) -> str | None:
        """What the unit is known by: a later part number does not make it another unit."""
        return self.original_part_number or self.part_number

    @property
    def shown_part_number(self) -> str | None:
        """What the unit is now."""
        return self.part_number or self.original_part_number
