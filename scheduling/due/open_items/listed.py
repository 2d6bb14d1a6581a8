"""Open items as rows of the due list's table, and in one order with those that are stored."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from scheduling.due.lists import stored
from scheduling.due.lists.marks import Key
from scheduling.due.lists.reckoned import ReckonedList
from scheduling.due.lists.rows import MOST_COUNTED
from scheduling.due.lists.scope import Scope
from scheduling.engine.basis.bands import Band
from scheduling.engine.telling.flags import Flag
from scheduling.facts.due_table import COLUMNS, NULL, Column, Table
from scheduling.facts.items import AIRCRAFT, LONG_PAST, NEVER, POSITION, Item, item_id, subject_of

from .ends import End

#: No limit of a programme has this key: an item's key that has it is an open item's.
NO_LIMIT = 0


def key_of(end: End) -> int:
    """The key of its due item: another for its last day than for what is repeated."""
    return item_id(end.item.pk, NO_LIMIT, POSITION if end.is_repeat else AIRCRAFT)


def is_open_item(item: int) -> bool:
    """Whether a due item's key is that of an open item."""
    return subject_of(item)[1:] in {(NO_LIMIT, AIRCRAFT), (NO_LIMIT, POSITION)}


def table_of(ends: Sequence[End], as_of: date) -> Table:
    """The rows of the due list's table, in the order of their keys."""
    rows = sorted((_row(end, as_of) for end in ends), key=lambda row: row["id"])
    return {
        column.name: np.array([_number(column, row.get(column.name)) for row in rows], np.int64)
        for column in COLUMNS
    }


def _row(end: End, as_of: date) -> dict[str, Any]:
    position = end.item.place.aircraft_position if end.item.place else None
    dateless = LONG_PAST if end.band == Band.OVERDUE else NEVER
    return {
        "id": key_of(end),
        "limit_id": NO_LIMIT,
        "aircraft_id": end.item.aircraft_id,
        "position_id": position.pk if position else None,
        "kind_id": position.type_position.kind_id if position else None,
        "station_id": end.station_id,
        "as_of": as_of,
        "band": end.band,
        "sort_on": end.due_on or end.worst_on or dateless,
        "due_on": None if end.missing else end.due_on,
        "until_on": None if end.missing else end.due_on,
        "due_on_projected": end.is_projected,
        "due_at_minutes": end.due_at_minutes,
        "left_minutes": end.left_minutes,
        "start_on": end.start_on,
        "missing": end.missing,
        "worst_on": end.worst_on,
        "flags": int(Flag.GROUNDS) if end.is_past else 0,
        "check_planned_id": end.check_id,
        "unit_stamp": 0,
        "aircraft_stamp": 0,
        "programme_stamp": 0,
    }


def _number(column: Column, value: Any) -> int:
    """A value as the table has it: days since 1970, NULL for none."""
    if value is None:
        return 0 if column.is_flag else NULL
    if column.is_date:
        return int(np.datetime64(value, "D").astype(np.int64))
    return int(value)


@dataclass(frozen=True, slots=True)
class StoredAndOpen:
    """The stored list with what is not stored (open items, cylinders without a limit) in its place, read as
    each of the two is read."""

    opened: ReckonedList

    def page(
        self, scope: Scope, size: int, after: Key | None = None, is_backwards: bool = False
    ) -> list[tuple[Item, Key]]:
        """At most ``size`` items behind the key (before it, nearest first, when backwards), with keys."""
        either = [
            *stored.page(scope, size, after, is_backwards),
            *self.opened.page(scope, size, after, is_backwards),
        ]
        is_down = scope.is_descending != is_backwards
        return sorted(either, key=lambda found: found[1], reverse=is_down)[:size]

    def everything(self, scope: Scope, at_once: int = 2000) -> Iterator[list[Item]]:
        """Every item in its order, a batch at a time."""
        after: Key | None = None
        while found := self.page(scope, at_once, after):
            yield [item for item, _ in found]
            after = found[-1][1]

    def counts(self, scope: Scope) -> list[int]:
        """How many items in each band, each at most one above ``MOST_COUNTED``."""
        either = zip(stored.counts(scope), self.opened.counts(scope), strict=True)
        return [min(sum(both), MOST_COUNTED + 1) for both in either]

    def grounding(self, scope: Scope) -> int:
        """How many of them, whatever their band, ground their aircraft, as far as they are counted."""
        return min(stored.grounding(scope) + self.opened.grounding(scope), MOST_COUNTED + 1)
