"""One change of the facts of an allocation, in columns and in plain facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from .book import Related
from .columns import (
    Bools,
    Columns,
    Ints,
    NeedRows,
    SupplyRows,
    codes_of,
    need_rows,
    refuse_doubles,
    supply_rows,
)
from .facts import Need, Supply

PairsOfKeys = tuple[tuple[str, str], ...]
OneRows = TypeVar("OneRows", NeedRows, SupplyRows)


@dataclass(frozen=True, slots=True)
class Change:
    """What changes. ``needs`` and ``supplies`` are new, or stand in place of those of the same key (a
    need that moves, a unit that fails or is freed); pairs are (need, supply)."""

    needs: tuple[Need, ...] = ()
    gone_needs: tuple[str, ...] = ()
    supplies: tuple[Supply, ...] = ()
    gone_supplies: tuple[str, ...] = ()
    lock: PairsOfKeys = ()
    unlock: PairsOfKeys = ()
    forbid: PairsOfKeys = ()
    allow: PairsOfKeys = ()


@dataclass(frozen=True, slots=True)
class Changed:
    """Columns after a change. ``old_need`` and ``old_supply`` are the rows before (-1: not there),
    ``need_touched`` and ``supply_touched`` the rows whose pairs may differ; ``needs_left`` and
    ``supplies_left`` the rows before that are no longer as they were."""

    columns: Columns
    old_need: Ints
    old_supply: Ints
    need_touched: Bools
    supply_touched: Bools
    needs_left: Ints
    supplies_left: Ints


def changed_columns(columns: Columns, change: Change) -> Changed:
    """The columns after a change. Refuses with ValueError a need or supply given twice, or
    locked to two."""
    refuse_doubles("need", [one.key for one in change.needs])
    refuse_doubles("supply", [one.key for one in change.supplies])
    book = columns.book.copy()
    new_needs, new_supplies = need_rows(book, change.needs), supply_rows(book, change.supplies)
    gone_needs = [book.needs.number(key) for key in change.gone_needs]
    gone_supplies = [book.supplies.number(key) for key in change.gone_supplies]
    locked = _ruled(columns.locked, codes_of(book, change.lock), codes_of(book, change.unlock))
    forbid, allow = codes_of(book, change.forbid), codes_of(book, change.allow)
    forbidden = _ruled(columns.forbidden, forbid, allow)
    ruled = np.concatenate(
        [np.setxor1d(locked, columns.locked), np.setxor1d(forbidden, columns.forbidden)]
    )
    needs, old_need, need_touched = _put(columns.needs, new_needs, gone_needs, ruled >> 32)
    supplies, old_supply, supply_touched = _put(
        columns.supplies, new_supplies, gone_supplies, ruled & 0xFFFFFFFF
    )
    related = Related.of(book, columns.related)
    after = Columns(book, related, needs, supplies, locked, forbidden).with_locks()
    return Changed(
        after,
        old_need,
        old_supply,
        need_touched,
        supply_touched,
        _left(len(columns.needs), old_need, need_touched),
        _left(len(columns.supplies), old_supply, supply_touched),
    )


def _ruled(before: Ints, more: Ints, fewer: Ints) -> Ints:
    return np.setdiff1d(np.union1d(before, more), fewer)


def _put(table: OneRows, new: OneRows, gone: list[int], ruled: Ints) -> tuple[OneRows, Ints, Bools]:
    """(the table with the new rows after those that stay, each one's row before, which are
    touched)."""
    drop = np.isin(table.uid, np.concatenate([new.uid, np.array(gone, dtype=np.int64)]))
    kept = np.flatnonzero(~drop)
    after = table.take(kept).joined(new)
    old = np.concatenate([kept, np.full(len(new), -1)])
    return after, old, (old < 0) | np.isin(after.uid, ruled)


def _left(before: int, old: Ints, touched: Bools) -> Ints:
    """The rows before that are gone, replaced or touched."""
    same = np.zeros(before, dtype=bool)
    same[old[~touched]] = True
    return np.flatnonzero(~same)
