"""Where units were, from nothing but their movements: the long way round, one unit at a time.

It is how the kept stays are checked (``manage.py check_whereabouts``): for every moment at which our
records changed, what they then said is worked out anew.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import pairwise, zip_longest
from typing import NamedTuple


class Told(NamedTuple):
    """A movement as recorded, with when it was annulled if it was."""

    id: int
    unit_id: int
    place_id: int
    happened_at: datetime
    day_order: int
    quantity: int
    recorded_at: datetime
    is_conforming: bool
    corrects_id: int | None = None
    annulled_at: datetime | None = None


class Joined(NamedTuple):
    """From this moment the absorbed unit's movements are the kept one's."""

    kept_id: int
    absorbed_id: int
    recorded_at: datetime


class Said(NamedTuple):
    """Our records said, from ``known_from`` until ``known_to``, that a unit was at a place."""

    unit_id: int
    place_id: int
    quantity: int
    valid_from: datetime
    valid_to: datetime | None
    known_from: datetime
    known_to: datetime | None
    begun_by: int
    ended_by: int | None


class _Held(NamedTuple):
    """A movement counted as this unit's in this time of our knowledge."""

    told: Told
    known_from: datetime
    known_to: datetime | None


def said_of(movements: Sequence[Told], merges: Iterable[Joined] = ()) -> set[Said]:
    """What our records said at any time of the units whose movements and merges these are."""
    said: set[Said] = set()
    for unit, held in _held_by_unit(movements, merges).items():
        bounds = {h.known_from for h in held} | {h.known_to for h in held if h.known_to is not None}
        moments = sorted(bounds)
        slices: list[tuple[datetime, datetime | None]] = [*pairwise(moments), (moments[-1], None)]
        open_since: dict[tuple[int, int, datetime, datetime | None, int, int | None], datetime] = {}
        for since, _ in slices:
            now = set(_stays_known_at(held, since))
            for gone in open_since.keys() - now:
                said.add(_said(unit, gone, open_since.pop(gone), since))
            for new in now - open_since.keys():
                open_since[new] = since
        said |= {_said(unit, stay, since, None) for stay, since in open_since.items()}
    return said


_Stay = tuple[int, int, datetime, datetime | None, int, int | None]


def _said(unit: int, stay: _Stay, since: datetime, until: datetime | None) -> Said:
    place, quantity, start, end, begun_by, ended_by = stay
    return Said(unit, place, quantity, start, end, since, until, begun_by, ended_by)


def _stays_known_at(held: Sequence[_Held], at: datetime) -> list[_Stay]:
    known = [h.told for h in held if h.known_from <= at and (h.known_to is None or at < h.known_to)]
    known.sort(key=lambda told: (told.happened_at, told.day_order, told.id))
    stays: list[_Stay] = []
    for told, following in zip_longest(known, known[1:]):
        end = following.happened_at if following else None
        if end != told.happened_at:
            ended_by = following.id if following else None
            stays.append((told.place_id, told.quantity, told.happened_at, end, told.id, ended_by))
    return stays


def _held_by_unit(movements: Sequence[Told], merges: Iterable[Joined]) -> dict[int, list[_Held]]:
    corrected = {told.corrects_id: told for told in movements if told.corrects_id is not None}
    absorbed = {merge.absorbed_id: merge for merge in merges}
    found: dict[int, list[_Held]] = defaultdict(list)
    for told in movements:
        until = _until(told, corrected)
        since = told.recorded_at
        unit = told.unit_id
        while told.is_conforming and (until is None or since < until):
            merge = absorbed.get(unit)
            # The kept unit's own later movements may be older than the merge.
            end = until if merge is None else _earlier(until, max(since, merge.recorded_at))
            if end is None or since < end:
                found[unit].append(_Held(told, since, end))
            if merge is None:
                break
            unit, since = merge.kept_id, max(since, merge.recorded_at)
    return found


def _until(told: Told, corrected: dict[int, Told]) -> datetime | None:
    """When it was annulled, or replaced by a conforming one, whichever was first."""
    until = told.annulled_at
    later = corrected.get(told.id)
    while later is not None:
        if later.is_conforming:
            return _earlier(until, later.recorded_at)
        later = corrected.get(later.id)
    return until


def _earlier(one: datetime | None, other: datetime | None) -> datetime | None:
    known = [at for at in (one, other) if at is not None]
    return min(known, default=None)
