"""Units that came off aircraft, and why: what the record says of removals that nobody planned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Q

from equipment.models import FittedPeriod, PartNumber, UnitTag
from fleet.house.pages import end_of
from scheduling.matching.solving.poisson import Interval, rate_interval

YEARS = 2
#: A tag tells the cause of a removal if it is of the day before it or of so many days after.
BEFORE, AFTER = timedelta(days=1), timedelta(days=30)
#: What each cause on a tag is: planned by the programme, for no fault, unplanned.
PLANNED = ("limit", "directive")
GOOD = ("removed_good", "information", "shop")
UNPLANNED = ("defect", "accident", "deployed", "discharged")


Row = tuple[int, int, int, int, datetime, datetime | None]


def removals_of(
    rows: Sequence[Row], begin: datetime, end: datetime
) -> list[tuple[int, int, datetime]]:
    """(unit, part number, moment) of each time a unit came off in the time. ``rows`` by unit and time: what
    stays where it is under another record did not come off."""
    found = []
    for at, (unit, part, aircraft, position, _, to_at) in enumerate(rows):
        if to_at is None or not begin < to_at <= end:
            continue
        after = rows[at + 1] if at + 1 < len(rows) else None
        stays = after is not None and (after[0], after[2], after[3], after[4]) == (
            unit,
            aircraft,
            position,
            to_at,
        )
        if not stays:
            found.append((unit, part, to_at))
    return found


def causes_of(removals: Sequence[tuple[int, int, datetime]]) -> list[str]:
    """The cause of each removal: of its unit's tags that tell one, the first of the days about it. One question."""
    tags: dict[int, list[tuple[datetime, str]]] = defaultdict(list)
    rows = UnitTag.objects.standing().filter(unit__in={unit for unit, _, _ in removals})
    for unit, at, why in (
        rows.exclude(why="").order_by("tagged_at", "pk").values_list("unit", "tagged_at", "why")
    ):
        tags[unit].append((at, why))
    return [
        next((why for at, why in tags[unit] if when - BEFORE <= at <= when + AFTER), "")
        for unit, _, when in removals
    ]


@dataclass(frozen=True, slots=True)
class KindRecord:
    """Of one kind the unplanned removals on record: how many in how many days, a year, and how sure that is.
    ``unsaid`` removals more have no cause on record."""

    kind: str
    removals: int
    unsaid: int
    days: int

    @property
    def a_year(self) -> float:
        return self.removals * 365 / self.days

    @property
    def between(self) -> Interval | None:
        return rate_interval(self.removals, self.days / 365)


def unplanned_by_kind(today: date) -> dict[str, KindRecord]:
    """The record of each kind of which a unit came off in the last two years, by its name. Two questions."""
    since = today.replace(year=today.year - YEARS, day=min(today.day, 28))
    begin, end = end_of(since), end_of(today)
    fitted = FittedPeriod.objects.filter(depth=0, unit__quantity=1)
    fitted = fitted.filter(
        Q(to_at__gt=begin, to_at__lte=end) | Q(from_at__gt=begin, from_at__lte=end)
    )
    rows = list(
        fitted.order_by("unit", "from_at").values_list(
            "unit", "unit__part_number", "aircraft", "root_position", "from_at", "to_at"
        )
    )
    removals = removals_of(rows, begin, end)
    kinds = dict(
        PartNumber.objects.filter(pk__in={part for _, part, _ in removals}).values_list(
            "pk", "kind__name"
        )
    )
    counts: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for (_, part, _), cause in zip(removals, causes_of(removals), strict=True):
        counts[kinds[part]][0] += cause in UNPLANNED
        counts[kinds[part]][1] += cause == ""
    days = (today - since).days
    return {
        kind: KindRecord(kind, unplanned, unsaid, days)
        for kind, (unplanned, unsaid) in counts.items()
    }
