"""The list reckoned for the page: for a day that the stored items do not hold for.

The same engine, the same bands, the same order and marks as :mod:`.stored`, over columns in memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

import numpy as np
from django.db.models import Q

from equipment.models import FittedPeriod, PartNumber, Unit
from fleet.models import Aircraft
from scheduling.engine.telling.flags import Flag
from scheduling.facts.batch import batch_of_craft, batch_of_units, units_listed
from scheduling.facts.craft import craft_on
from scheduling.facts.due_table import NULL, Table, items_of, table_of
from scheduling.facts.items import LONG_PAST, UNIT, Item, subject_of
from scheduling.facts.rules import rules_on
from scheduling.facts.units import UnitSelection, absorbed_units, end_of
from scheduling.models import Work

from .comparing import Bools
from .marks import Key
from .rows import MOST_COUNTED
from .scope import BAND_CODES, Scope

LAST = "\U0010ffff"
DAY_ONE = np.datetime64(LONG_PAST, "D").astype(np.int64)
AT_ONCE = 20_000


class ReckonedList:
    """The items of a scope as of a day: read like the stored ones."""

    def __init__(self, table: Table, scope: Scope) -> None:
        self.table = table
        self.scope = scope
        self.everywhere = _within(table, scope, with_band=False)
        self.mine = self.everywhere if scope.band is None else _within(table, scope, with_band=True)
        self.keys = _keys(table, scope.sort)
        order = np.lexsort(tuple(reversed(self.keys)))
        self.order = order[self.mine[order]]
        if scope.is_descending:
            self.order = self.order[::-1]

    def page(
        self, scope: Scope, size: int, after: Key | None = None, is_backwards: bool = False
    ) -> list[tuple[Item, Key]]:
        """At most ``size`` items behind the key (before it, nearest first, when backwards), with keys."""
        rows = self.order[::-1] if is_backwards else self.order
        if after is not None:
            rows = rows[self._behind(rows, after, scope.is_descending != is_backwards)]
        rows = rows[:size]
        keys = [tuple(column[row].item() for column in self._shown()) for row in rows.tolist()]
        return list(zip(items_of(self.table, rows), keys, strict=True))

    def everything(self, scope: Scope, at_once: int = 2000) -> Iterator[list[Item]]:
        """Every item in its order, a batch at a time."""
        for begin in range(0, len(self.order), at_once):
            yield items_of(self.table, self.order[begin : begin + at_once])

    def counts(self, scope: Scope) -> list[int]:
        """How many items in each band, each at most one above ``MOST_COUNTED``."""
        found = np.bincount(self.table["band"][self.everywhere], minlength=len(BAND_CODES))
        return np.minimum(found, MOST_COUNTED + 1).tolist()

    def grounding(self, scope: Scope) -> int:
        """How many of them, whatever their band, ground their aircraft, as far as they are counted."""
        flags = self.table["flags"][self.everywhere]
        return min(int((flags >= int(Flag.GROUNDS)).sum()), MOST_COUNTED + 1)

    def _shown(self) -> list[Any]:
        """The keys as marks hold them: days since year 1, names as they are."""
        return self.keys

    def _behind(self, rows: Any, after: Key, is_down: bool) -> Bools:
        behind = np.zeros(len(rows), bool)
        equal = np.ones(len(rows), bool)
        for column, value in zip(self.keys, after, strict=True):
            here = column[rows]
            behind |= equal & ((here < value) if is_down else (here > value))
            equal &= here == value
        return behind


def listed(scope: Scope, as_of: date, more: Table | None = None) -> ReckonedList:
    """The items of the scope reckoned as of a day, and ``more`` of other origin in the same order."""
    table = reckoned_table(scope, as_of)
    if more is None:
        return ReckonedList(table, scope)
    return ReckonedList({name: np.concatenate([table[name], more[name]]) for name in table}, scope)


def reckoned_table(scope: Scope, as_of: date) -> Table:
    """Every due item that may be in the scope, as the table would hold it as of the day.

    Only what the scope names where that is known before the reckoning: units, items, an aircraft.
    """
    rules = rules_on(as_of)
    named = _named_units(scope, as_of)
    craft = None if named else craft_on(as_of, rules.measures)
    tables = [
        table_of(batch_of_units(which, as_of, rules=rules, craft=craft))
        for which in ([named] if named else all_units())
    ]
    if scope.unit_id is None:
        if scope.aircraft_id is not None:
            craft = craft_on(as_of, rules.measures, [scope.aircraft_id])
        tables.append(table_of(batch_of_craft(as_of, rules=rules, craft=craft)))
    return {name: np.concatenate([table[name] for table in tables]) for name in tables[0]}


def _named_units(scope: Scope, as_of: date) -> UnitSelection | None:
    """The units that the scope can be about, if it names any; None for all."""
    if scope.unit_id is not None:
        return units_listed([scope.unit_id])
    if scope.ids:
        subjects = [subject_of(item) for item in scope.ids]
        return units_listed([subject for subject, _, sort in subjects if sort == UNIT])
    if scope.aircraft_id is not None:
        there = FittedPeriod.objects.filter(
            Q(to_at=None) | Q(to_at__gte=end_of(as_of)),
            aircraft=scope.aircraft_id,
            from_at__lt=end_of(as_of),
        )
        return units_listed(list(there.values_list("unit_id", flat=True)))
    return None


def all_units() -> list[UnitSelection]:
    """All units, a cell at a time: other scopes are cut from the answer."""
    last = Unit.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
    absorbed = absorbed_units()
    return [
        UnitSelection(low=low, high=low + AT_ONCE, absorbed=absorbed)
        for low in range(0, last + 1, AT_ONCE)
    ]


def _within(table: Table, scope: Scope, with_band: bool) -> Bools:
    held = np.ones(len(table["id"]), bool)
    for kept in scope.keeps(table, with_band=with_band):
        held &= kept
    return held


def _keys(table: Table, sort: str) -> list[Any]:
    day = table["sort_on"] - DAY_ONE
    if sort == "due":
        return [day, table["id"]]
    urgency = [table["band"], day, table["id"]]
    if sort == "urgency":
        return urgency
    model, name, column = {
        "aircraft": (Aircraft, "registration", "aircraft_id"),
        "part": (PartNumber, "number", "part_number_id"),
        "work": (Work, "name", "work_id"),
    }[sort]
    return [_names(model, name, table[column]), *urgency]


def _names(model: Any, name: str, keys: Any) -> Any:
    """The name behind each key, after all others where there is none."""
    distinct, at = np.unique(keys, return_inverse=True)
    wanted = [key for key in distinct.tolist() if key != NULL]
    found = dict(model.objects.filter(pk__in=wanted).values_list("pk", name))
    return np.array([found.get(key, LAST) for key in distinct.tolist()])[at]
