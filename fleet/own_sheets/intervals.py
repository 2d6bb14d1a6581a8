"""The interval that a sheet itself adds: how many months lie between its last and its next dates."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from fleet.intake.stamps import Reading, Stamp

from .house import House
from .said import Said
from .unit import Seen
from .words.heads import work_name

LIFE = "LIFE"


@dataclass(frozen=True, slots=True)
class Added:
    """What the sheet adds for one work on one kind: the commonest months, in how many of how many lines."""

    kind: str
    kind_name: str
    work: str
    months: int | None
    agree: int
    lines: int

    @property
    def key(self) -> str:
        return f"{self.kind} {self.work}"

    @property
    def work_name(self) -> str:
        return work_name(self.work)

    @property
    def is_life(self) -> bool:
        return self.work == LIFE


def months_between(start: Reading, end: Reading) -> int | None:
    """Whole months from one date to another, a day or a month's end more or less; None if not whole."""
    if not isinstance(start, Stamp) or not isinstance(end, Stamp) or end.on <= start.on:
        return None
    months = (end.on.year - start.on.year) * 12 + end.on.month - start.on.month
    if "month" in (start.precision, end.precision) or "year" in (start.precision, end.precision):
        return months
    apart = end.on.day - start.on.day
    if abs(apart) <= 1 or _is_last(end.on):
        return months
    if apart >= 27:  # the day before: 1 Mar 2024 to 28 Feb 2027
        return months + 1
    return None


def _is_last(on: dt.date) -> bool:
    return on.day == calendar.monthrange(on.year, on.month)[1]


def months_in(text: str) -> int | None:
    """Months out of an interval as written: ``36``, ``3 Y``, ``36 MO``."""
    found = re.fullmatch(r"(\d+(?:\.\d+)?)\s*([A-Z]*)\.?", text.strip().upper())
    if not found:
        return None
    number = float(found[1])
    number = number * 12 if found[2][:1] == "Y" else number if found[2][:1] in {"M", ""} else 0
    return int(number) if number and number == int(number) and number <= 1200 else None


def start_of(one: Seen, work: str) -> Reading:
    """What the sheet counts a work's next date from: the last one, or the date of manufacture."""
    return one.made if work == LIFE else one.done.get(work) or one.made


def added_in(seen: Iterable[Seen], house: House, said: Said) -> list[Added]:
    """Each work on each kind that has a next date or an interval, with the months that it adds."""
    counts: dict[tuple[str, str], Counter[int]] = {}
    lines: Counter[tuple[str, str]] = Counter()
    names: dict[str, str] = {}
    for one in seen:
        code, name = house.kind(one.item, said)
        names[code] = name
        for work in one.next.keys() | one.interval.keys():
            key = (code, work)
            months = months_in(one.interval.get(work, "")) or months_between(
                start_of(one, work), one.next.get(work)
            )
            if one.next.get(work) is None and months is None:
                continue
            lines[key] += 1
            counts.setdefault(key, Counter())
            if months:
                counts[key][months] += 1
    found = []
    for (kind, work), count in sorted(lines.items()):
        common = counts[kind, work].most_common(1)
        months, agree = common[0] if common else (None, 0)
        found.append(Added(kind, names[kind], work, months, agree, count))
    return found
