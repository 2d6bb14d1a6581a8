"""One unit as a line of an own sheet tells it, and where that stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from fleet.intake.stamps import Reading

from .words.marks import bare


class Count(NamedTuple):
    """A cell in hours or cycles: what stands there, and whether its heading says that the aircraft's own
    total is meant (None: neither it nor the unit's is said)."""

    cell: object
    of_aircraft: bool | None = None


class At(NamedTuple):
    """Where a fact stands: sheet and row (from 0), and the position that its columns are of."""

    sheet: int
    row: int
    group: str = ""


@dataclass(slots=True)
class Seen:
    """One unit as one line tells it. ``row`` counts from 0 in the sheet numbered ``sheet``.

    ``done``, ``next`` and ``interval`` are by work; ``marks`` are N/A and its like by role; ``totals`` are
    cells of hours and cycles since new or overhaul, and the aircraft's own, by role; ``stamped`` is heading and text of
    what is stamped on a cylinder, by role. ``counts`` are those of works, by
    aspect and measure (``next-fh``) and work. ``group`` is
    the position that its columns are of, where the sheet has columns for each.
    """

    sheet: int
    row: int
    aircraft: str = ""
    type: str = ""
    msn: str = ""
    place: str = ""
    item: str = ""
    part: str = ""
    serial: str = ""
    maker: str = ""
    station: str = ""
    remarks: str = ""
    notes: tuple[str, ...] = ()
    quantity: str = ""
    is_spare: bool = False
    made: Reading = None
    fitted: Reading = None
    done: dict[str, Reading] = field(default_factory=dict)
    next: dict[str, Reading] = field(default_factory=dict)
    interval: dict[str, str] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)
    totals: dict[str, object] = field(default_factory=dict)
    stamped: dict[str, tuple[str, str]] = field(default_factory=dict)
    counts: dict[tuple[str, str], Count] = field(default_factory=dict)
    share: int = 0
    group: str = ""

    @property
    def at(self) -> At:
        """Where it stands."""
        return At(self.sheet, self.row, self.group)

    @property
    def works(self) -> set[str]:
        """The codes of the works that its line tells of."""
        return {*self.done, *self.next, *self.interval, *(work for _, work in self.counts)}

    @property
    def key(self) -> tuple[str, str]:
        """By what a unit is told apart in one workbook: part number and serial number."""
        return (bare(self.part), self.serial.upper())
