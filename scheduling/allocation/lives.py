"""How long units last, themselves and all inside them, out of their due items."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from ..engine.bands import Band
from ..lists.flags import Flag
from ..matching.facts import NO_LIMIT
from .reading import rows

# Each unit's items and those of what is inside it; the items of a unit lie together by their keys.
ITEMS = """
WITH RECURSIVE inside AS (
    SELECT asked.id AS root, asked.id FROM unnest(%(units)s::bigint[]) AS asked (id)
    UNION
    SELECT i.root, c.id FROM inside i
    JOIN equipment_unit o ON coalesce(o.merged_into_id, o.id) = i.id
    JOIN equipment_place p ON p.parent_unit_id = o.id
    JOIN equipment_unit c ON c.place_id = p.id AND c.merged_into_id IS NULL
)
SELECT i.root, d.band, d.due_on, d.start_on, d.flags, w.code, w.is_done_in_place,
       coalesce(c.counts_from, '')
FROM inside i
JOIN scheduling_dueitem d ON d.id >= i.id << 22 AND d.id < (i.id + 1) << 22 AND d.unit_id = i.id
JOIN scheduling_work w ON w.id = d.work_id
LEFT JOIN scheduling_clock c ON c.limit_id = d.limit_id AND c.seq = d.decided_by
WHERE d.band <> %(quiet)s
"""
#: A shop does what falls due within this many days of its release too, unless an order says what.
DONE_WITHIN = timedelta(days=365)


class LifeRow(NamedTuple):
    root_id: int
    band: int
    due_on: date | None
    start_on: date | None
    flags: int
    work: str
    is_in_place: bool
    counts_from: str

    @property
    def interval(self) -> timedelta | None:
        return self.due_on - self.start_on if self.due_on and self.start_on else None


@dataclass(frozen=True, slots=True)
class Life:
    """``lasts_until`` the last good day (None: a fact is missing); ``shelf_until`` that of clocks which
    the fitting starts anew; ``may_install`` is False where a limit forbids it."""

    lasts_until: date | None = NO_LIMIT
    shelf_until: date = NO_LIMIT
    may_install: bool = True


Lives = Mapping[int, list[LifeRow]]


def lives_of(unit_ids: Iterable[int]) -> Lives:
    """What limits each unit and all inside it. One question."""
    found: dict[int, list[LifeRow]] = defaultdict(list)
    values = {"units": sorted(set(unit_ids)), "quiet": int(Band.QUIET)}
    for row in rows(LifeRow, ITEMS, values):
        found[row.root_id].append(row)
    return found


def life_on_shelf(items: Iterable[LifeRow]) -> Life:
    """A unit as it stands in the store. A clock that starts anew with the fitting is its shelf clock."""
    lasts: date | None = NO_LIMIT
    shelf, may_install = NO_LIMIT, True
    for item in items:
        may_install = may_install and not item.flags & Flag.MAY_NOT_INSTALL
        if item.band == Band.NO_BASIS:
            lasts = None
        elif item.counts_from == "this_installation":
            shelf = min(shelf, item.due_on or shelf)
        elif lasts is not None:
            lasts = min(lasts, _end_of(item))
    return Life(lasts, shelf, may_install)


def _end_of(item: LifeRow) -> date:
    """An item past its limit on a day that nobody can name has ended long ago."""
    if item.due_on is not None:
        return item.due_on
    return date.min if item.band == Band.OVERDUE else NO_LIMIT


def life_after_shop(
    items: Iterable[LifeRow], back_on: date, works: frozenset[str] = frozenset()
) -> Life:
    """A unit as it is expected back: what the shop does starts anew for as long as it ran before.

    The shop does ``works``; where none is named, all that falls due within a year of its release.
    What ends a life is never done anew.
    """
    lasts = NO_LIMIT
    for item in items:
        if item.flags & Flag.END_OF_LIFE or not _is_done(item, back_on, works):
            lasts = min(lasts, _end_of(item))
        elif item.interval is not None:
            lasts = min(lasts, back_on + item.interval)
    return Life(lasts)


def _is_done(item: LifeRow, back_on: date, works: frozenset[str]) -> bool:
    if works:
        return item.work in works
    return item.due_on is None or item.due_on <= back_on + DONE_WITHIN
