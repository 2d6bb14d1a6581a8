"""The interval that a sheet itself adds: how many months, hours or cycles lie between its last and its next."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from fleet.intake.stamps import Reading, Stamp

from .counted import interval_added
from .gathered import OnRecord, part_of
from .house import House
from .said import Said
from .stamped import TEST, StampTold, counts
from .unit import Seen
from .words.counts import CYCLES, HOURS, amount_words
from .words.heads import INTERVAL, LEFT, NEXT, work_name

LIFE = "LIFE"
#: Stands in a key for units of which no specification is told.
NO_STAMP = "NONE"


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
    ``counts`` the same of hours and cycles. ``units`` are their part and serial
    numbers. ``of`` narrows it to cylinders of one specification, where those of the kind have different published periods; ``stamps`` are the specifications
    of its units with a published period of this work."""

    kind: str
    kind_name: str
    work: str
    months: int | None
    agree: int
    lines: int
    counts: tuple[Common, ...] = ()
    of: str | None = None
    units: tuple[tuple[str, str], ...] = ()
    stamps: tuple[StampTold, ...] = ()
    #: Of an end of life: how many units have their expiry, and no date of manufacture to count it from.
    undated: int = 0

    @property
    def subject(self) -> str:
        """By what a limit that is on record is known."""
        return f"{self.kind} {self.work}"

    @property
    def key(self) -> str:
        return self.subject if self.of is None else f"{self.subject} {self.of or NO_STAMP}"

    def without_limit(self, record: OnRecord) -> set[str]:
        """The part numbers of its units of which no limit on record asks this work."""
        if self.subject in record.limits:
            return set()
        return {part for part, _ in self.units} - record.limited_parts.get(self.subject, set())

    @property
    def name(self) -> str:
        """What it is about, in words."""
        if self.of is None:
            return self.kind_name
        return f"{self.kind_name}, {self.of or 'without a specification'}"

    @property
    def work_name(self) -> str:
        return work_name(self.work)

    @property
    def proposed(self) -> str:
        """Its months as a limit's proposal: where at least half of the lines add them; where none adds any, those
        that are published for what is stamped on its units."""
        if self.months:
            is_usual = self.months % 6 == 0 or self.months <= 24 or self.agree >= 3
            return str(self.months) if is_usual and 2 * self.agree >= self.lines else ""
        return str(self.published) if self.published and not self.counts else ""

    @property
    def published(self) -> int | None:
        """The shortest period that is published for what is stamped on its units; None for none."""
        return min((told.months for told in self.stamps if told.months), default=None)

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


def is_undated(one: Seen) -> bool:
    """Whether a unit's end of life is told, and no day from which it counts."""
    return one.made is None and isinstance(one.next.get(LIFE), Stamp)


def made_by_expiry(one: Seen, months: int) -> Stamp | None:
    """The date of manufacture that its expiry and a life of so many months lead to, as exact as the expiry."""
    end = one.next.get(LIFE)
    if not isinstance(end, Stamp):
        return None
    year, month = divmod(end.on.year * 12 + end.on.month - 1 - months, 12)
    day = min(end.on.day, calendar.monthrange(year, month + 1)[1])
    return Stamp(
        dt.date(year, month + 1, day), "day" if end.precision == "instant" else end.precision
    )


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
    gathered: dict[tuple[str, str, str | None], _Gathered] = {}
    names: dict[str, str] = {}
    every = list(seen)
    apart = kinds_apart(every, house, said)
    for one in every:
        code, name = house.kind(one.item, said)
        names[code] = name
        told = house.stamp(one)
        of = told.specification if code in apart else None
        for work in one.works:
            amounts = list(_amounts(one, work))
            if amounts:
                key = (code, work, of if work == TEST else None)
                gathered.setdefault(key, _Gathered()).add(one, part_of(one, code), amounts, told)
    return [
        gathered[key].as_added(key, names[key[0]])
        for key in sorted(gathered, key=lambda key: (key[0], key[1], key[2] or ""))
    ]


def kinds_apart(seen: Sequence[Seen], house: House, said: Said) -> set[str]:
    """The kinds whose cylinders are of specifications with different published periods: one limit for all of them
    would be too long for some."""
    periods: dict[str, set[int | None]] = {}
    for one in seen:
        told = house.stamp(one)
        if counts(one, told):
            periods.setdefault(house.kind(one.item, said)[0], set()).add(told.months)
    return {kind for kind, months in periods.items() if len(months) > 1}


@dataclass(slots=True)
class _Gathered:
    """What the lines of one work on one kind (or on its cylinders of one specification) add, by measure."""

    amounts: dict[str, Counter[int]] = field(default_factory=dict)
    lines: Counter[str] = field(default_factory=Counter)
    units: dict[tuple[str, str], None] = field(default_factory=dict)
    stamps: dict[str, StampTold] = field(default_factory=dict)
    undated: set[tuple[str, str]] = field(default_factory=set)

    def add(
        self, one: Seen, part: str, amounts: Iterable[tuple[str, int | None]], told: StampTold
    ) -> None:
        for measure, amount in amounts:
            self.lines[measure] += 1
            counter = self.amounts.setdefault(measure, Counter())
            if amount:
                counter[amount] += 1
        self.units[part, one.serial] = None
        if is_undated(one):
            self.undated.add((part, one.serial))
        if counts(one, told) and told.months:
            self.stamps[told.specification] = told

    def as_added(self, key: tuple[str, str, str | None], name: str) -> Added:
        kind, work, of = key
        of_each = {
            measure: _common(measure, self.amounts.get(measure), self.lines[measure])
            for measure in (MONTHS, HOURS, CYCLES)
        }
        months = of_each.pop(MONTHS)
        counted = tuple(each for each in of_each.values() if each.amount)
        most = months.lines or max(each.lines for each in of_each.values())
        return Added(
            kind,
            name,
            work,
            months.amount or None,
            months.agree,
            most,
            counted,
            of,
            tuple(self.units),
            tuple(self.stamps[code] for code in sorted(self.stamps)) if work == TEST else (),
            len(self.undated) if work == LIFE else 0,
        )


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
