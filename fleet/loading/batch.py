"""The lines of one sheet on their way in, and what was found of each."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fleet.house.moments import why_future
from fleet.house.refusals import Refused
from fleet.intake.problems import CellProblem, shown
from fleet.intake.stamps import Stamp
from fleet.intake.tables import Table
from fleet.intake.words import nearest
from fleet.models import User

HAPPENED = "give the day on which it happened."
ACCEPTED, REFUSED, KNOWN = "accepted", "refused", "known"


@dataclass(frozen=True, slots=True)
class Finding:
    """Why a line was refused, or a warning of it or of its sheet: row, cell, code, sentence."""

    row: int
    cell: str
    code: str
    message: str
    is_warning: bool = False
    line: int | None = None


@dataclass(slots=True)
class Touched:
    """What due items may have to follow, besides what acts told of by themselves."""

    units: set[int] = field(default_factory=set)
    aircraft: set[int] = field(default_factory=set)
    is_everything: bool = False

    def add(self, other: Touched | None) -> None:
        """None is a sheet that does not say what it touches: everything."""
        if other is None:
            self.is_everything = True
        else:
            self.units |= other.units
            self.aircraft |= other.aircraft


@dataclass(slots=True)
class Bringing:
    """What is the same for all sheets of one load: who, when, and what was looked up already.

    ``today`` and ``at`` come from the outer layer. ``cache`` holds look-ups by name and is emptied
    after each sheet that brought something in. ``later`` is done once after the last sheet.
    """

    by: User
    at: dt.datetime
    today: dt.date
    key: uuid.UUID
    cache: dict[str, Any] = field(default_factory=dict)
    later: dict[str, Callable[[], None]] = field(default_factory=dict)

    def looked_up(self, name: str, find: Callable[[], Any]) -> Any:
        """What ``find`` gives, asked once until something is brought in."""
        if name not in self.cache:
            self.cache[name] = find()
        return self.cache[name]

    def act_id(self, *facts: object) -> uuid.UUID:
        """The same id for the same fact however often it is brought."""
        return uuid.uuid5(_FACTS, "|".join("" if fact is None else str(fact) for fact in facts))


_FACTS = uuid.UUID("6f3a1c1e-5a52-4e0b-9d43-2f6c1b7d8e90")


def _day(value: dt.date | Stamp) -> dt.date:
    return value.on if isinstance(value, Stamp) else value


class Batch:
    """The lines of one table; every line ends accepted, refused or known."""

    def __init__(self, table: Table, bringing: Bringing) -> None:
        self.table = table
        self.bringing = bringing
        self.outcomes = [ACCEPTED] * len(table)
        self.touched: Touched | None = None
        self.findings: list[Finding] = [
            Finding(table.heading_row, cell, code, message, is_warning=True)
            for cell, code, message in table.warnings
        ]
        for line, name, problem in table.problems:
            self.refuse(line, name, problem.code, problem.sentence)
        for column in table.kind.columns:
            if column.has_come:
                self._refuse_future(column.field)

    def _refuse_future(self, name: str) -> None:
        """What has happened did so on a day that has come, wherever on earth."""
        values = self[name]
        early = {
            value: why
            for value in set(values)
            if value is not None
            and (why := why_future(_day(value), self.bringing.at, name, HAPPENED))
        }
        if early:
            for line in self.good:
                for refusal in early.get(values[line], ()):
                    self.refuse(line, name, refusal.code, refusal.message)

    def __len__(self) -> int:
        return len(self.table)

    def __getitem__(self, name: str) -> list[Any]:
        """The values of a field, one for each line, None where blank or refused."""
        return self.table.columns[name]

    def line(self, index: int) -> dict[str, Any]:
        """The values of one line by field, None where blank or refused."""
        return {name: values[index] for name, values in self.table.columns.items()}

    @property
    def good(self) -> list[int]:
        """The lines that are still to be brought in."""
        return [i for i, outcome in enumerate(self.outcomes) if outcome == ACCEPTED]

    def is_good(self, line: int) -> bool:
        return self.outcomes[line] == ACCEPTED

    def refuse(self, line: int, name: str | None, code: str, message: str) -> None:
        """This will refuse a line, at the cell of a field where one is named."""
        self.outcomes[line] = REFUSED
        row, cell = self.table.place_of(line, name)
        self.findings.append(Finding(row, cell, code, message, line=line))

    def refuse_all(self, refused: Refused) -> None:
        """This will refuse every line that is still good, for a reason that they share."""
        for line in self.good:
            self.refuse(line, None, refused.code, refused.message)

    def warn(self, line: int, name: str, code: str, message: str) -> None:
        row, cell = self.table.place_of(line, name)
        self.findings.append(Finding(row, cell, code, message, is_warning=True, line=line))

    def touch(self, units: Iterable[int | None] = (), aircraft: Iterable[int | None] = ()) -> None:
        """This will say that the lines touch these units and aircraft and nothing else.

        Without it they are taken to touch everything. What an act tells of by itself need not be
        named here.
        """
        self.touched = Touched(
            {unit for unit in units if unit is not None},
            {craft for craft in aircraft if craft is not None},
        )

    def know(self, lines: Iterable[int]) -> None:
        """These lines are on record already, word for word."""
        for line in lines:
            if self.outcomes[line] == ACCEPTED:
                self.outcomes[line] = KNOWN

    def accept(self, line: int) -> None:
        """Something of a line was brought in although the rest of it was known."""
        if self.outcomes[line] == KNOWN:
            self.outcomes[line] = ACCEPTED

    def found(self, name: str, known: Mapping[Any, int], what: str) -> list[int | None]:
        """The key of what each line names in field ``name``; unknown names refuse their line."""
        values = self[name]
        keys = [known.get(value) for value in values]
        if None in keys:
            for line, (value, key) in enumerate(zip(values, keys, strict=True)):
                if key is None and value is not None and self.is_good(line):
                    self.refuse_unknown(line, name, value, known, what)
        return keys

    def refuse_unknown(
        self, line: int, name: str, value: object, known: Iterable[Any], what: str, *, of: str = ""
    ) -> None:
        """This will refuse a line that names something not on record, with the nearest that is.

        ``of`` says in words of what it is one (``of this programme``); the code is of ``what`` alone,
        the same by every door.
        """
        names = [each for each in known if isinstance(each, str)]
        near = nearest(str(value), names) if len(names) < 5_000 else None
        hint = f"Did you mean '{near}'?" if near else "Bring it first, or in the same load."
        self.refuse(
            line,
            name,
            f"unknown_{what.replace(' ', '_')}",
            f"There is no {what} '{shown(value)}'{of and f' {of}'} on record. {hint}",
        )

    def need(self, name: str, when: Sequence[bool], why: str) -> None:
        """This will refuse the good lines of ``when`` whose field is blank."""
        for line, (value, is_needed) in enumerate(zip(self[name], when, strict=True)):
            if is_needed and value is None and self.is_good(line):
                column = self.table.kind.column(name).name
                self.refuse(line, name, "missing", f"'{column}' is blank. {why}")

    def problem(self, line: int, name: str, problem: CellProblem) -> None:
        self.refuse(line, name, problem.code, problem.sentence)
