"""What the screens, the export, the command and the API read of due items: plain rows.

The read functions of :mod:`scheduling.due.due_list` fill them; nothing here asks a database or a clock.
The pages call ``due_page(*, filters, as_of, mark, limit)``, ``due_rows(*, filters, as_of)`` (all rows,
an iterator), ``explanation(*, item_id, as_of)`` (None if there is no such item).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from scheduling.engine.basis.bands import SOON_DAYS

Check = tuple[date, str]  # first day, name

# In the order of urgency: the place of each is its number in scheduling.engine.bands.Band. Of the
# last, "quiet" (no clock runs), only the page of a unit and who asks for it hear.
BANDS: tuple[tuple[str, str], ...] = (
    ("unserviceable", "unserviceable"),
    ("overdue", "overdue"),
    ("out-of-phase", "before next check"),
    ("before-return", "parked"),
    ("next-check", "at next check"),
    ("later-check", "at later check"),
    ("beyond-plan", "after last planned check"),
    ("in-store", "off aircraft"),
    ("no-basis", "data missing"),
)
SORTS: tuple[tuple[str, str], ...] = (
    ("urgency", "most urgent first"),
    ("due", "due date"),
    ("aircraft", "aircraft"),
    ("part", "part number"),
    ("work", "work"),
)


#: Within so many days what no check is planned for is told.
WITHIN = (7, 30, 60, 180)


@dataclass(frozen=True, slots=True)
class DueRow:
    """One due item as one line says it.

    ``position`` is the code of the aircraft position (of the outermost unit), ``inside`` says
    where inside which unit, ``line_unit_*`` the unit that comes off on the line where that is
    another. ``decided_by`` names what won, ``due_on`` is the last day (projected from hours or
    cycles where ``is_projected``); totals are minutes and counts, ``*_other`` in ``other_measure``,
    the unit's own or a further one of the aircraft's. ``missing`` are the missing facts in words with ``worst_on`` the earliest it
    could be. ``notes`` are flags in words (within its variation, extended, may not be refilled).
    ``checks`` are the aircraft's planned checks.
    """

    id: int
    band: str
    work: str
    limit: str
    registration: str = ""
    aircraft_id: int | None = None
    station: str = ""
    position: str = ""
    position_name: str = ""
    inside: str = ""
    unit_id: int | None = None
    part_number: str = ""
    serial_number: str = ""
    description: str = ""
    maker: str = ""
    line_unit_id: int | None = None
    line_part_number: str = ""
    line_serial_number: str = ""
    start_on: date | None = None
    due_on: date | None = None
    until_on: date | None = None
    is_projected: bool = False
    due_at_minutes: int | None = None
    due_at_cycles: int | None = None
    due_at_other: int | None = None
    other_measure: str = ""
    other_is_hours: bool = False  # then due_at_other and left_other are in minutes
    decided_by: str = ""
    left_days: int | None = None
    left_minutes: int | None = None
    left_cycles: int | None = None
    left_other: int | None = None
    missing: tuple[str, ...] = ()
    worst_on: date | None = None
    notes: tuple[str, ...] = ()
    check_name: str = ""
    check_starts_on: date | None = None
    check_id: int | None = None
    is_stale: bool = False
    grounds_aircraft: bool = False
    checks: tuple[Check, ...] = ()

    @property
    def within(self) -> int | None:
        """Of what is due where no check is planned, or none that can do it: within how many days."""
        if not self._is_by_days or self.left_days is None:
            return None
        return next((days for days in WITHIN if self.left_days <= days), None)

    @property
    def _is_by_days(self) -> bool:
        if self.band == "out-of-phase":
            return not self.check_name and (self.left_days or 0) <= SOON_DAYS
        return self.band == "beyond-plan" and not self.checks

    @property
    def by_days(self) -> str:
        """The same in words; empty of what the plan says."""
        if not self._is_by_days or self.left_days is None:
            return ""
        planned = "no check planned" if not self.checks else "no planned check can do it"
        within = f"within {self.within} days" if self.within else ""
        return ", ".join(each for each in (planned, within) if each)

    @property
    def is_left_known(self) -> bool:
        """Whether anything can be said of what is left, in days or in a measure."""
        left = (self.left_days, self.left_minutes, self.left_cycles, self.left_other)
        return any(one is not None for one in left)


# A count of a band stops one above this, so that a page takes as long with a million items as with
# ten thousand. Such a count is shown as "2 000+".
MOST_COUNTED = 2000


@dataclass(frozen=True, slots=True)
class DuePage:
    """One page. ``counts`` are per band under all filters but the band's own; one above
    ``MOST_COUNTED`` means more than that (``total`` likewise is a sum that stopped counting).
    ``grounding`` is how many of them all, whatever their band, ground their aircraft.
    ``next_after`` and ``previous_before`` are opaque marks for the neighbouring pages; empty where
    there is none. ``is_stored`` is false when the list was reckoned for this page, for another day."""

    rows: list[DueRow]
    counts: dict[str, int]
    total: int
    grounding: int = 0
    next_after: str = ""
    previous_before: str = ""
    is_stored: bool = True


@dataclass(frozen=True, slots=True)
class ClockLine:
    """One clock of an explanation: drawn as a life line. The first is the one that decided."""

    label: str
    start_on: date | None = None
    due_on: date | None = None
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Explanation:
    """A due item explained: the row, its clocks with the winner first, and plain sentences in the
    order a person would work them with a pencil."""

    row: DueRow
    steps: list[str]
    others: list[str] = field(default_factory=list)
    clocks: list[ClockLine] = field(default_factory=list)
    document: str = ""
