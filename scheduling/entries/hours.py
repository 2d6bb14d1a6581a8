"""Totals of many aircraft typed at once: what was read last, what is usual, what a spreadsheet pasted says."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from fleet.intake.words import folded
from fleet.models import Aircraft, Measure
from fleet.utilisation.acts.readings import totals_counted

MEASURES = (Measure.FLIGHT_HOURS, Measure.FLIGHT_CYCLES)


@dataclass(slots=True)
class Line:
    """One aircraft of the grid: what was last read, what was typed, what is wrong or doubted of it."""

    aircraft: Aircraft
    last_hours: str
    last_cycles: str
    hours: str = ""
    cycles: str = ""
    is_sure: bool = False
    is_correction: bool = False
    faults: list[tuple[str, str]] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)

    @property
    def is_filled(self) -> bool:
        return bool(self.hours or self.cycles)

    @property
    def as_typed(self) -> str:
        """What is said to be right: another total, typed after that, is asked about anew."""
        return f"{self.hours} {self.cycles}"

    @property
    def needs_answer(self) -> bool:
        return bool(self.questions) and not self.is_sure


def lines_of_fleet() -> list[Line]:
    """Every aircraft of the fleet with the latest of its readings of hours and cycles that count: five queries."""
    fleet = list(
        Aircraft.objects.exclude(status=Aircraft.LEFT)
        .select_related("station")
        .order_by("registration")
    )
    measures = dict(Measure.objects.filter(code__in=MEASURES).values_list("code", "pk"))
    totals = totals_counted({(one.pk, key) for one in fleet for key in measures.values()})

    def last(one: Aircraft, code: str) -> str:
        counted = totals.get((one.pk, measures.get(code, 0)))
        return counted.last_said() if counted else "none yet"

    hours, cycles = MEASURES
    return [Line(one, last(one, hours), last(one, cycles)) for one in fleet]


def filled_from(lines: Iterable[Line], pasted: str) -> list[str]:
    """This will fill the grid from rows pasted out of a spreadsheet, and say which could not be read.

    A row names an aircraft, then its hours, then its cycles; hyphens and spaces of a registration do
    not matter. Rows without a registration on record (headings, totals) are named.
    """
    known = {folded(line.aircraft.registration): line for line in lines}
    unread = []
    for row in pasted.splitlines():
        cells = [cell.strip() for cell in re.split(r"\t|;|\s{2,}", row.strip())]
        if len(cells) == 1:
            cells = row.split()
        if not any(cells):
            continue
        at = next((at for at, cell in enumerate(cells) if folded(cell) in known), None)
        if at is None:
            unread.append(row.strip()[:80])
            continue
        line, totals = known[folded(cells[at])], [cell for cell in cells[at + 1 :] if cell]
        line.hours = totals[0] if totals else line.hours
        line.cycles = totals[1] if len(totals) > 1 else line.cycles
    return unread
