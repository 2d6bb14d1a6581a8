"""Totals of many aircraft typed at once: what was read last, what is usual, what a spreadsheet pasted says."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.problems import CellProblem
from fleet.intake.words import folded
from fleet.models import Aircraft, Measure, UtilisationReading
from fleet.utilisation.usual import Question, Reading, question_of, usual_per_day
from fleet.words.said import count_words, day_words, hours_words

MEASURES = (Measure.FLIGHT_HOURS, Measure.FLIGHT_CYCLES)
#: Readings further back tell nothing of the usual rate.
MOST_READ = 400


@dataclass(slots=True)
class Line:
    """One aircraft of the grid: what was last read, what was typed, what is wrong or doubted of it."""

    aircraft: Aircraft
    read: dict[str, list[Reading]]
    hours: str = ""
    cycles: str = ""
    is_sure: bool = False
    is_correction: bool = False
    faults: list[tuple[str, str]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    #: What cannot be read, by measure: said beside a question of another line, else by the act.
    unread: list[tuple[str, str]] = field(default_factory=list)

    @property
    def is_filled(self) -> bool:
        return bool(self.hours or self.cycles)

    @property
    def last_hours(self) -> str:
        return self._last(Measure.FLIGHT_HOURS, is_hours=True)

    @property
    def last_cycles(self) -> str:
        return self._last(Measure.FLIGHT_CYCLES, is_hours=False)

    def _last(self, code: str, *, is_hours: bool) -> str:
        found = self.read.get(code)
        if not found:
            return "none yet"
        on, total = found[-1]
        said = hours_words(total) if is_hours else count_words(total)
        usual = usual_per_day(found)
        rate = ""
        if usual is not None:
            daily = hours_words(round(usual)) if is_hours else f"{usual:.1f}"
            rate = f", {daily} a day"
        return f"{said} on {day_words(on)}{rate}"

    @property
    def needs_answer(self) -> bool:
        return bool(self.questions) and not self.is_sure

    def question(self, on: date) -> None:
        """This will keep what is doubted of the totals typed, as read on a day."""
        self.questions, self.unread = [], []
        for code, text, is_hours in (
            (Measure.FLIGHT_HOURS, self.hours, True),
            (Measure.FLIGHT_CYCLES, self.cycles, False),
        ):
            total = minutes_of(text) if is_hours else count_of(text)
            if isinstance(total, CellProblem):
                self.unread.append((code, total.sentence))
            if total is None or isinstance(total, CellProblem):
                continue
            asked = question_of(self.read.get(code, []), on, int(total), is_hours=is_hours)
            if asked is not None:
                self.questions.append(asked)


def lines_of_fleet() -> list[Line]:
    """Every aircraft with its readings of hours and cycles that count, in order of day: three queries."""
    read: dict[int, dict[str, list[Reading]]] = defaultdict(lambda: defaultdict(list))
    counted = UtilisationReading.objects.filter(
        measure__code__in=MEASURES, is_conforming=True, is_annulment=False, corrected_by=None
    )
    for aircraft, code, at, total in counted.order_by("read_at", "pk").values_list(
        "aircraft_id", "measure__code", "read_at", "total"
    ):
        read[aircraft][code].append((at.date(), total))
    fleet = Aircraft.objects.exclude(status=Aircraft.LEFT).select_related("station")
    return [
        Line(one, {code: found[-MOST_READ:] for code, found in read[one.pk].items()})
        for one in fleet.order_by("registration")
    ]


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
