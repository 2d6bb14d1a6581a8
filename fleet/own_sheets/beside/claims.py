"""What an own sheet says is next: each date, total and remainder of a work once, and what is reckoned of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from fleet.intake.stamps import Stamp, in_words
from fleet.own_sheets.counted import interval_added, is_of_aircraft
from fleet.own_sheets.gathered import part_of
from fleet.own_sheets.house import House
from fleet.own_sheets.intervals import start_of
from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.said import Said
from fleet.own_sheets.unit import Seen
from fleet.own_sheets.words.counts import HOURS, amount_of
from fleet.own_sheets.words.heads import COUNTED, LEFT, NEXT
from fleet.words.said import hours_words


@dataclass(frozen=True, slots=True)
class Claim:
    """One next date, total or remainder of the sheet: of which unit and work, where it stands.

    ``says`` is a date, or minutes or a count of ``measure``; ``is_left`` where it is what is left.
    ``of_aircraft`` where the total is taken for the aircraft's. ``start`` is what the sheet counts the
    date from, ``added`` the hours or cycles that it adds.
    """

    sheet: str
    cell: str
    part: str
    serial: str
    where: str
    kind: str
    work: str
    says: Stamp | int
    start: Stamp | None = None
    measure: str = ""
    is_left: bool = False
    of_aircraft: bool = False
    added: int | None = None

    @property
    def words(self) -> str:
        """What the sheet says, in words."""
        if isinstance(self.says, Stamp):
            return in_words(self.says)
        return f"{count_words(self.measure, self.says)}{' left' if self.is_left else ''}"


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What is reckoned of a unit's work: its date, or why there is none; the months of its limit.

    ``is_by_count`` where hours or cycles made the date. By measure (``fh``, ``fc``): ``at`` the unit's own
    total at which it is due, ``left`` what is left, ``craft`` the aircraft's total now, ``amounts`` what the limit allows.
    """

    due_on: date | None
    months: int | None = None
    limit: str = ""
    missing: str = ""
    is_by_count: bool = False
    at: Mapping[str, int] = field(default_factory=dict)
    left: Mapping[str, int] = field(default_factory=dict)
    craft: Mapping[str, int] = field(default_factory=dict)
    amounts: Mapping[str, int] = field(default_factory=dict)


def count_words(measure: str, amount: int) -> str:
    """Minutes as hours, or cycles, with their unit."""
    return f"{hours_words(amount)} FH" if measure == HOURS else f"{amount} FC"


def claims_of(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, said: Said
) -> list[Claim]:
    """Everything that own sheets say is next, of units that are taken; each once."""
    found: dict[tuple[object, ...], Claim] = {}
    for one in seen:
        for role, more in _said_next(one):
            work = role.partition(":")[2]
            if (*one.key, role) not in found:
                whose = _whose(one, house, said)
                sheet = sheets[one.sheet]
                cell = sheet.cell_name(sheet.column(role, one.group), one.row)
                found[*one.key, role] = Claim(sheet.name, cell, *whose, work, **more)
    return list(found.values())


def _whose(one: Seen, house: House, said: Said) -> tuple[str, str, str, str]:
    """Part and serial number, where it is, what it is."""
    kind, kind_name = house.kind(one.item, said)
    on_aircraft = f"{one.aircraft} {' '.join(one.place.split())}".strip()
    where = "spare" if one.is_spare else on_aircraft
    return part_of(one, kind), one.serial.upper(), where, kind_name


def _said_next(one: Seen) -> Iterator[tuple[str, dict[str, Any]]]:
    """The role of each next date, total and remainder of a line, and what it says."""
    for work, says in one.next.items():
        if isinstance(says, Stamp):
            start = start_of(one, work)
            yield (
                f"{NEXT}:{work}",
                {"says": says, "start": start if isinstance(start, Stamp) else None},
            )
    for (role, work), count in one.counts.items():
        aspect, measure = COUNTED[role]
        amount = amount_of(measure, count.cell)
        if aspect in {NEXT, LEFT} and amount is not None:
            of_aircraft = aspect == NEXT and is_of_aircraft(one, count, measure)
            yield (
                f"{role}:{work}",
                {
                    "says": amount,
                    "measure": measure,
                    "is_left": aspect == LEFT,
                    "of_aircraft": of_aircraft,
                    "added": interval_added(one, measure, work),
                },
            )
