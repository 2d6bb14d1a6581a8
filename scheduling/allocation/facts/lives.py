"""How long units last, themselves and all inside them, out of their due items."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from equipment.ledger.nesting import INSIDE_NOW
from fleet.models import Measure
from scheduling.engine.basis.bands import Band
from scheduling.engine.basis.months import add_days, add_months
from scheduling.engine.basis.words import STARTS
from scheduling.engine.telling.flags import Flag
from scheduling.facts.measures import other_codes
from scheduling.matching.facts.facts import CYCLES, HOURS, NO_LIMIT, Left

from .counted import Counted, counted_on_aircraft
from .reading import rows

# Each unit's items and those of what is inside it; the items of a unit lie together by their keys.
ITEMS = f"""{INSIDE_NOW}
SELECT i.root, d.band, d.due_on, d.start_on, d.flags, w.code, w.is_done_in_place,
       coalesce(c.counts_from, ''), d.limit_id, d.due_on_projected, d.left_minutes, d.left_cycles,
       d.left_other, coalesce(c.measure, '')
FROM inside i
JOIN scheduling_dueitem d ON d.id >= i.id << 22 AND d.id < (i.id + 1) << 22 AND d.unit_id = i.id
JOIN scheduling_work w ON w.id = d.work_id
LEFT JOIN scheduling_clock c ON c.limit_id = d.limit_id AND c.seq = d.decided_by
WHERE d.band <> %(quiet)s
"""
# What each clock of a limit allows anew: of several amounts the least, as which will hold is not known yet.
CLOCKS = """
SELECT l.id, l."when" = 'last', c.compares = 'at', c.measure,
       min(a.value) FILTER (WHERE a."when" <> 'first')
FROM scheduling_limit l JOIN scheduling_clock c ON c.limit_id = l.id
LEFT JOIN scheduling_amount a ON a.clock_id = c.id GROUP BY l.id, c.id ORDER BY l.id, c.seq
"""
# What revisions that come into force after a day allow anew by the calendar: of each limit its own too, if it
# does, as an item that is due by it on its eve does not show its interval.
LATER = """
SELECT l.id, n.from_on, c.measure, min(a.value) FILTER (WHERE a."when" <> 'first')
FROM scheduling_limit l
JOIN scheduling_limit n ON n.programme_id = l.programme_id AND upper(n.code) = upper(l.code)
  AND n.from_on > %(on)s AND n.from_on >= coalesce(l.from_on, '-infinity'::date) AND n."when" = 'first'
JOIN scheduling_clock c ON c.limit_id = n.id AND c.measure IN ('months', 'days')
JOIN scheduling_amount a ON a.clock_id = c.id
GROUP BY l.id, n.from_on, c.id
"""
ANEW = frozenset(word for word, start in STARTS.items() if start.each_fitting)
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
    limit_id: int
    is_projected: bool
    left_minutes: int | None
    left_cycles: int | None
    left_other: int | None
    decided_by: str

    @property
    def is_anew(self) -> bool:
        """Whether the clock that decides begins anew with a fitting."""
        return self.counts_from in ANEW

    @property
    def interval(self) -> timedelta | None:
        return self.due_on - self.start_on if self.due_on and self.start_on else None


class ClockRow(NamedTuple):
    """``amount`` is what it allows anew, None where it never runs again."""

    limit_id: int
    is_last: bool
    at: bool
    measure: str
    amount: int | None


class LaterRow(NamedTuple):
    """A clock of a revision in force from a later day: what it allows anew, None where it never runs again."""

    limit_id: int
    from_on: date
    measure: str
    amount: int | None

    def ends(self, done_on: date) -> date:
        """The last good day under it of a work done on a day: never before its own eve."""
        if self.amount is None:
            return NO_LIMIT
        add = add_months if self.measure == "months" else add_days
        last: date = add(np.array([done_on], "datetime64[D]"), self.amount)[0].item()
        return max(last, self.from_on - timedelta(days=1))


@dataclass(frozen=True, slots=True)
class LimitClocks:
    """``is_last``: it falls due at the last of its clocks, so none of them alone ends anything; ``at``:
    at the amount, not after it; ``many``: it has other clocks too."""

    clocks: tuple[ClockRow, ...]

    @property
    def is_last(self) -> bool:
        return self.clocks[0].is_last

    @property
    def at(self) -> bool:
        return any(clock.at for clock in self.clocks)

    @property
    def many(self) -> bool:
        return len(self.clocks) > 1


@dataclass(frozen=True, slots=True)
class Life:
    """``lasts_until`` the last good day (None: a fact is missing); ``shelf_until`` that of clocks which
    the fitting starts anew; ``may_install`` is False where a limit forbids it; ``left`` what hours,
    cycles and the like allow once it is fitted."""

    lasts_until: date | None = NO_LIMIT
    shelf_until: date = NO_LIMIT
    may_install: bool = True
    left: tuple[Left, ...] = ()


@dataclass(frozen=True, slots=True)
class Lives:
    """What limits each unit and all inside it, and what those limits allow anew. ``counted`` on the
    aircraft, and ``others`` than hours and cycles, by code."""

    items: Mapping[int, list[LifeRow]]
    limits: Mapping[int, LimitClocks]
    counted: Mapping[str, Counted]
    others: Collection[str]
    later: Mapping[int, list[LaterRow]] = field(default_factory=dict)

    def of(self, unit_id: int) -> list[LifeRow]:
        return self.items.get(unit_id, [])

    def anew(self, item: LifeRow) -> list[Left]:
        """All that the limit allows of what is counted on the aircraft."""
        clocks = self.limits[item.limit_id].clocks
        return [one for clock in clocks for one in self._left(clock.measure, clock.amount)]

    def now(self, item: LifeRow) -> list[Left]:
        """What the item has left of it."""
        told = [(HOURS, item.left_minutes), (CYCLES, item.left_cycles)]
        left = [Left(name, amount) for name, amount in told if amount is not None]
        return left + self._left(self._other(item), item.left_other)

    def _other(self, item: LifeRow) -> str:
        """Which measure ``left_other`` is of, as the due list tells it."""
        codes = [clock.measure for clock in self.limits[item.limit_id].clocks]
        own = [code for code in codes if code in self.others]
        return item.decided_by if item.decided_by in own else own[0] if own else ""

    def _left(self, code: str, amount: int | None) -> list[Left]:
        one = self.counted.get(code)
        return [] if one is None or amount is None else [Left(one.name, amount, one.in_minutes)]


def lives_of(unit_ids: Iterable[int], measures: Sequence[Measure], as_of: date) -> Lives:
    """What limits each unit and all inside it, and which rules come after a day. Three questions."""
    clocks: dict[int, list[ClockRow]] = defaultdict(list)
    for clock in rows(ClockRow, CLOCKS, {}):
        clocks[clock.limit_id].append(clock)
    limits = {key: LimitClocks(tuple(several)) for key, several in clocks.items()}
    found: dict[int, list[LifeRow]] = defaultdict(list)
    values = {"units": sorted(set(unit_ids)), "quiet": int(Band.QUIET)}
    for row in rows(LifeRow, ITEMS, values):
        found[row.root_id].append(row)
    later: dict[int, list[LaterRow]] = defaultdict(list)
    for each in rows(LaterRow, LATER, {"on": as_of}):
        later[each.limit_id].append(each)
    return Lives(found, limits, counted_on_aircraft(measures), other_codes(measures), later)


def life_on_shelf(lives: Lives, unit_id: int) -> Life:
    """A unit as it stands in the store. A clock that starts anew with the fitting is its shelf clock."""
    left: list[Left] = []
    lasts: date | None = NO_LIMIT
    shelf, may_install = NO_LIMIT, True
    for item in lives.of(unit_id):
        may_install = may_install and not item.flags & Flag.MAY_NOT_INSTALL
        if item.band == Band.NO_BASIS:
            lasts = None
        elif item.is_anew:
            shelf = min(shelf, item.due_on or shelf)
        elif lasts is not None:
            lasts = min(lasts, _end_of(item))
        left += _left_of(item, lives)
    return Life(lasts, shelf, may_install, least(left))


def _left_of(item: LifeRow, lives: Lives) -> list[Left]:
    """What is left before the limit. What counts from the fitting has all of it, then."""
    if lives.limits[item.limit_id].is_last:
        return []
    if item.is_anew:
        return _before_limit(item, lives, lives.anew(item))
    return _before_limit(item, lives, lives.now(item))


def _before_limit(item: LifeRow, lives: Lives, left: list[Left]) -> list[Left]:
    edge = int(lives.limits[item.limit_id].at)
    return [replace(one, amount=max(one.amount - edge, 0)) for one in left]


def least(left: Iterable[Left]) -> tuple[Left, ...]:
    """Of each measure the least that is left: it ends first."""
    of_measure: dict[str, Left] = {}
    for one in left:
        known = of_measure.get(one.measure, one)
        of_measure[one.measure] = min(one, known, key=lambda each: each.amount)
    return tuple(of_measure[measure] for measure in sorted(of_measure))


def _end_of(item: LifeRow) -> date:
    """An item past its limit on a day that nobody can name has ended long ago."""
    if item.due_on is not None:
        return item.due_on
    return date.min if item.band == Band.OVERDUE else NO_LIMIT


@dataclass(frozen=True, slots=True)
class Back:
    """How a unit comes back from the shop: when, after which ``works`` (none named: all that falls due
    within a year of its release), and what it still uses up before it comes off, by measure."""

    on: date
    works: frozenset[str] = frozenset()
    used: Mapping[str, int] = field(default_factory=dict)


def life_after_shop(lives: Lives, unit_id: int, back: Back) -> Life:
    """A unit as it is expected back: what the shop does starts anew for as long as it ran before, in hours,
    cycles and the like for what the limit allows, by the calendar no longer than a revision of days to come
    allows. What ends a life is never done anew.
    """
    lasts = NO_LIMIT
    left: list[Left] = []
    for item in lives.of(unit_id):
        limit = lives.limits[item.limit_id]
        if item.flags & Flag.END_OF_LIFE or not _is_done(item, back.on, back.works):
            # The day that an aircraft's rate made of hours is not the unit's in a shop or a store.
            if not item.is_projected or limit.many:
                lasts = min(lasts, _end_of(item))
            left += [
                replace(one, amount=max(one.amount - back.used.get(one.measure, 0), 0))
                for one in _left_of(item, lives)
            ]
            continue
        if item.interval is not None and not item.is_projected:
            lasts = min(lasts, back.on + item.interval)
        lasts = min([lasts, *(rule.ends(back.on) for rule in lives.later.get(item.limit_id, ()))])
        if not limit.is_last:
            left += _before_limit(item, lives, lives.anew(item))
    return Life(lasts, left=least(left))


def _is_done(item: LifeRow, back_on: date, works: frozenset[str]) -> bool:
    if works:
        return item.work in works
    if item.due_on is None:
        # Hours or cycles that an aircraft at rest does not use up are not near their end.
        return not (item.flags & Flag.NO_RATE)
    return item.due_on <= back_on + DONE_WITHIN
