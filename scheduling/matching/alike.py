"""Ties between things that are alike: the earlier need takes the unit whose key comes first."""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from .columns import Columns, Ints, NeedRows, SupplyRows


def settle_ties(columns: Columns, order: Ints, supply_of: Ints) -> Ints:
    """The same units for the same needs at the same cost, where alike units go to their needs in order by
    key, and alike needs take theirs so. ``order`` is each need's place among all."""
    met = np.flatnonzero(supply_of >= 0)
    met = met[np.argsort(order[met])]
    chosen = supply_of[met]
    keyed = np.argsort(columns.supplies.key[chosen], kind="stable")
    place = np.empty(len(met), dtype=np.int64)
    place[keyed] = np.arange(len(met))
    unit = chosen[keyed]
    need_class = _classes(columns.needs, met, columns.forbidden >> 32)
    unit_class = _classes(columns.supplies, unit, columns.forbidden & 0xFFFFFFFF)
    # Each pass only removes inversions of the two orders, so this comes to rest.
    while True:
        settled = _in_order(need_class, place)
        settled = _in_order(unit_class[settled], settled)
        if (settled == place).all():
            break
        place = settled
    result = supply_of.copy()
    result[met] = unit[place]
    return result


def _in_order(by: Ints, place: Ints) -> Ints:
    """The places, dealt out anew in rising order among the rows of each class."""
    rows = np.argsort(by, kind="stable")
    settled = np.empty_like(place)
    settled[rows] = place[np.lexsort((place, by))]
    return settled


def _classes(table: NeedRows | SupplyRows, rows: Ints, apart: Ints) -> Ints:
    """A number for each row, the same for rows that differ by nothing but who they are. Those that a
    forbidden pair names are like no other."""
    names = [one.name for one in fields(table) if one.name not in {"key", "uid"}]
    uid = table.uid[rows]
    own = np.where(np.isin(uid, apart), uid, -1)
    facts = [getattr(table, name)[rows].astype(np.int64) for name in names]
    order = np.lexsort([own, *facts])
    changes = np.zeros(len(rows), dtype=bool)
    for one in (own, *facts):
        changes[1:] |= np.diff(one[order]) != 0
    classes = np.empty(len(rows), dtype=np.int64)
    classes[order] = np.cumsum(changes)
    return classes
