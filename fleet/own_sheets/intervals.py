"""The interval that a sheet itself adds: how many months, hours or cycles lie between its last and its next."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from fleet.intake.stamps import Reading, Stamp

from .counted import interval_added
from .house import House
from .said import Said
from .unit import Seen
from .words.counts import CYCLES, HOURS, amount_words
from .words.heads import INTERVAL, LEFT, NEXT, work_name

LIFE = "LIFE"


class Common(NamedTuple):
    """The commonest amount of hours (in minutes) or cycles, in how many of how many lines."""

    measure: str
    amount: int
    agree: int
    lines: int

    @property
    def words(self) -> str:
        return amount_words(self.measure, self.amount)


@dataclass(frozen=True, slots=True)
class Added:
    """What the sheet adds for one work on one kind: the commonest months, in how many of how many lines;
    ``counts`` the same of hours and cycles."""

    kind: str
    kind_name: str
    work: str
    months: int | None
    agree: int
    lines: int
    counts: tuple[Common, ...] = ()

    @property
    def key(self) -> str:
        return f"{self.kind} {self.work}"

    @property
    def work_name(self) -> str:
        return work_name(self.work)

    @property
    def proposed(self) -> str:
        """Its months as a limit's proposal: where at least half of the lines add them."""
        return str(self.months) if self.months and 2 * self.agree >= self.lines else ""

    def count(self, measure: str) -> str:
        """Its hours or cycles as a limit's proposal, likewise."""
        of_measure = [each for each in self.counts if each.measure == measure]
        return next((each.words for each in of_measure if 2 * each.agree >= each.lines), "")

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
    """Each work on each kind that has a next one or an interval, with the months, hours and cycles it adds."""
    counts: dict[tuple[str, str, str], Counter[int]] = {}
    lines: Counter[tuple[str, str, str]] = Counter()
    names: dict[str, str] = {}
    keys = set()
    for one in seen:
        code, name = house.kind(one.item, said)
        names[code] = name
        for work in one.works:
            for measure, amount in _amounts(one, work):
                keys.add((code, work))
                lines[code, work, measure] += 1
                counter = counts.setdefault((code, work, measure), Counter())
                if amount:
                    counter[amount] += 1
    found = []
    for kind, work in sorted(keys):
        of_each = {
            measure: _common(measure, counts.get((kind, work, measure)), lines[kind, work, measure])
            for measure in (MONTHS, HOURS, CYCLES)
        }
        months = of_each.pop(MONTHS)
        counted = tuple(each for each in of_each.values() if each.amount)
        most = months.lines or max(each.lines for each in of_each.values())
        found.append(
            Added(kind, names[kind], work, months.amount or None, months.agree, most, counted)
        )
    return found


MONTHS = "months"


def _amounts(one: Seen, work: str) -> Iterator[tuple[str, int | None]]:
    """By measure what a line adds for a work; None where it has a next one and its interval is not told."""
    months = months_in(one.interval.get(work, "")) or months_between(
        start_of(one, work), one.next.get(work)
    )
    if one.next.get(work) is not None or months is not None:
        yield MONTHS, months
    for measure in (HOURS, CYCLES):
        says = any((f"{aspect}-{measure}", work) in one.counts for aspect in (NEXT, INTERVAL, LEFT))
        if says:
            yield measure, interval_added(one, measure, work)


def _common(measure: str, counter: Counter[int] | None, lines: int) -> Common:
    amount, agree = counter.most_common(1)[0] if counter else (0, 0)
    return Common(measure, amount, agree, lines)
