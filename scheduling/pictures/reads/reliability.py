"""Removals from aircraft by cause, for each thousand hours of each part number, with how sure the figure is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

import numpy as np
from django.db.models import Q

from equipment.models import FittedPeriod, PartNumber
from fleet.house.pages import end_of
from fleet.models import Measure, UtilisationReading
from fleet.words.said import count_words
from scheduling.allocation.reads.removals import (
    GOOD,
    PLANNED,
    UNPLANNED,
    YEARS,
    Row,
    causes_of,
    removals_of,
)
from scheduling.matching.solving.poisson import Interval, between_interval, rate_interval

THOUSAND = 60_000


@dataclass(slots=True)
class PartRemovals:
    """One part number: its unit hours (in minutes) on aircraft that were read, its removals by cause. ``unsaid``
    removals have no tag that tells their cause."""

    part_number: str
    description: str
    kind: str
    minutes: int = 0
    causes: dict[str, int] = field(default_factory=dict)

    def _sum(self, codes: Sequence[str]) -> int:
        return sum(self.causes.get(code, 0) for code in codes)

    @property
    def planned(self) -> int:
        return self._sum(PLANNED)

    @property
    def good(self) -> int:
        return self._sum(GOOD)

    @property
    def unplanned(self) -> int:
        return self._sum(UNPLANNED)

    @property
    def unsaid(self) -> int:
        return self.causes.get("", 0)

    @property
    def removals(self) -> int:
        return sum(self.causes.values())

    @property
    def rate(self) -> float | None:
        """Unplanned removals in a thousand unit hours."""
        return self.unplanned * THOUSAND / self.minutes if self.minutes else None

    @property
    def rate_between(self) -> Interval | None:
        return rate_interval(self.unplanned, self.minutes / THOUSAND)

    @property
    def mean_hours(self) -> float | None:
        """The mean time between unplanned removals, in unit hours; None without one."""
        return self.minutes / 60 / self.unplanned if self.unplanned and self.minutes else None

    @property
    def hours_between(self) -> Interval | None:
        return between_interval(self.unplanned, self.minutes / 60)

    @property
    def least_if_unsaid(self) -> float | None:
        """The least mean time between, if every removal of no recorded cause was unplanned."""
        found = between_interval(self.unplanned + self.unsaid, self.minutes / 60)
        return found.least if found else None

    @property
    def mean_words(self) -> str:
        return "" if self.mean_hours is None else count_words(round(self.mean_hours))

    @property
    def between_words(self) -> str:
        """``538 to 118 577``, or ``at least 813``."""
        found = self.hours_between
        if found is None:
            return ""
        least = count_words(round(found.least))
        return f"{least} to {count_words(round(found.most))}" if found.most else f"at least {least}"

    @property
    def least_if_unsaid_words(self) -> str:
        return "" if self.least_if_unsaid is None else count_words(round(self.least_if_unsaid))


@dataclass(frozen=True, slots=True)
class Reliability:
    """Two years of removals. ``unread``: aircraft with units on them and no reading of flight hours: their hours
    are in no figure, and so the figures of what flew there look worse than they are."""

    since: date
    until: date
    parts: Sequence[PartRemovals]
    unread: int


def reliability(today: date) -> Reliability:
    """Of each part number with hours or removals, the least reliable first. Six questions for any fleet."""
    since = today.replace(year=today.year - YEARS, day=min(today.day, 28))
    begin, end = end_of(since), end_of(today)
    fitted = FittedPeriod.objects.filter(depth=0, from_at__lt=end, unit__quantity=1)
    fitted = fitted.filter(Q(to_at=None) | Q(to_at__gt=begin))
    rows = list(
        fitted.order_by("unit", "from_at").values_list(
            "unit", "unit__part_number", "aircraft", "root_position", "from_at", "to_at"
        )
    )
    parts = _parts({part for _, part, *_ in rows})
    flown = _Flown(since, today)
    for _, part, aircraft, _, from_at, to_at in rows:
        parts[part].minutes += flown.minutes(aircraft, max(from_at, begin), min(to_at or end, end))
    _count_removals(rows, parts, begin, end)
    shown = [part for part in parts.values() if part.minutes or part.removals]
    shown.sort(key=lambda one: (-(one.rate or 0.0), -one.removals, one.part_number))
    unread = {aircraft for _, _, aircraft, *_ in rows} - flown.known
    return Reliability(since, today, shown, len(unread))


def _parts(keys: set[int]) -> dict[int, PartRemovals]:
    rows = PartNumber.objects.filter(pk__in=keys)
    told = rows.values_list("pk", "number", "description", "kind__name")
    return {key: PartRemovals(number, words, kind) for key, number, words, kind in told}


def _count_removals(
    rows: Sequence[Row], parts: dict[int, PartRemovals], begin: datetime, end: datetime
) -> None:
    removals = removals_of(rows, begin, end)
    for (_, part, _), cause in zip(removals, causes_of(removals), strict=True):
        parts[part].causes[cause] = parts[part].causes.get(cause, 0) + 1


class _Flown:
    """The flight hours of aircraft between two moments, straight between two readings, none beyond them."""

    def __init__(self, since: date, until: date) -> None:
        rows = UtilisationReading.objects.filter(
            measure__code=Measure.FLIGHT_HOURS,
            is_conforming=True,
            is_annulment=False,
            corrected_by=None,
            read_at__gte=end_of(since) - timedelta(days=366),
            read_at__lte=end_of(until),
        )
        read: dict[int, list[tuple[float, int]]] = defaultdict(list)
        for aircraft, at, total in rows.order_by("aircraft", "read_at", "pk").values_list(
            "aircraft", "read_at", "total"
        ):
            read[aircraft].append((at.timestamp(), total))
        self._read = {key: np.array(found, np.float64).T for key, found in read.items()}

    @property
    def known(self) -> set[int]:
        return set(self._read)

    def minutes(self, aircraft: int, begin: datetime, end: datetime) -> int:
        found = self._read.get(aircraft)
        if found is None or end <= begin:
            return 0
        first, last = np.interp([begin.timestamp(), end.timestamp()], found[0], found[1])
        return round(float(last - first))
