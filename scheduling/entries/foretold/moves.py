"""What an act would move on the due list, were it done: done, reckoned, and taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import nullcontext
from dataclasses import replace
from datetime import date, datetime
from typing import Any

import numpy as np
from django.db import transaction

from scheduling.due.lists.explained import explanations
from scheduling.due.lists.rows import BANDS, DueRow, Explanation
from scheduling.due.lists.words import rows_of
from scheduling.engine.basis.bands import Band
from scheduling.facts.copying import Ints
from scheduling.facts.due_table import NULL, Table, items_of
from scheduling.facts.items import LIMIT_BITS, SORT_BITS, Item
from scheduling.planning.reads.compared import PlanMoves, compared
from scheduling.planning.reads.hangars import OverfullShown, overfull_until
from scheduling.reckoning.foretelling import foretelling

from .in_reach import InReach, Reach, after_it, before_it
from .spares import spare_moves, spares_now
from .told import Counted, Move, Moves

__all__ = ["Counted", "Move", "Moves", "Reach", "foresee"]

#: So many lines of what moves are shown; the rest is counted.
MOST_SHOWN = 60
#: What makes an item another one to whoever reads the list.
TOLD = ("band", "due_on", "worst_on", "missing", "due_at_minutes", "due_at_cycles", "due_at_other")


def foresee(
    do: Callable[[], Any],
    reach: Reach,
    days: Sequence[date],
    *,
    follows: bool = False,
    at: datetime | None = None,
) -> list[Moves]:
    """This will do the act, say what it moves as of each day, and take it back. Refuses as the act
    does; nobody is told, and nothing is kept. ``follows``: several acts, of which a later one may read what the
    stored list says after an earlier one. ``at``: now, where the proposal of units is in reach."""
    asks_spares = reach.with_spares and at is not None
    with transaction.atomic():
        before = [before_it(reach, day) for day in days]
        full = _overfull(reach, days[0])
        spares = spares_now(days[0], at) if asks_spares and at else {}
        # Where only ground times change, no act reads what the stored list says after another one; the
        # proposal of units reads it.
        is_read = asks_spares or (follows and not reach.is_of_checks)
        with nullcontext() if is_read else foretelling():
            do()
        moved = spare_moves(spares, spares_now(days[0], at)) if asks_spares and at else None
        fuller = tuple(one for key, one in _overfull(reach, days[0]).items() if key not in full)
        after = [after_it(one, reach, day) for one, day in zip(before, days, strict=True)]
        told = [_told(*both) for both in zip(days, before, after, strict=True)]
        transaction.set_rollback(True)
    return [
        replace(
            moves,
            first=_with_gone(moves.first, gone, one, moves.on),
            reach=reach,
            spares=moved,
            overfull=fuller,
        )
        for (moves, gone), one in zip(told, before, strict=True)
    ]


def _overfull(reach: Reach, day: date) -> dict[tuple[Any, ...], OverfullShown]:
    """Where hangars have more checks than they hold; nothing where no check is in reach."""
    if not reach.is_of_checks:
        return {}
    found = overfull_until(day, date.max)
    return {(one.station, one.from_on, one.to_on, one.words): one for one in found}


def _keys(one: InReach, codes: list[tuple[int, str]]) -> Ints:
    """What an item is known by whichever revision it falls under: its subject, and the limit's code."""
    place = {code: at for at, code in enumerate(codes)}
    found = {rule.id: place[rule.programme_id, rule.limit.code] for rule in one.rules.every()}
    ids = np.array(sorted(found), np.int64)
    at = np.array([found[key] for key in sorted(found)], np.int64)
    keys = one.table["id"]
    subject, sort = keys >> (LIMIT_BITS + SORT_BITS), keys & ((1 << SORT_BITS) - 1)
    code = at[np.searchsorted(ids, one.table["limit_id"])] if len(keys) else keys
    known: Ints = (subject << LIMIT_BITS | code) << SORT_BITS | sort
    return known


def _told(day: date, before: InReach, after: InReach) -> tuple[Moves, Ints]:
    """What moved as of a day; and the rows of ``before`` that are there no more."""
    rules = (*before.rules.every(), *after.rules.every())
    codes = sorted({(rule.programme_id, rule.limit.code) for rule in rules})
    old, new = _keys(before, codes), _keys(after, codes)
    _, at_old, at_new = np.intersect1d(old, new, assume_unique=True, return_indices=True)
    differs = np.zeros(len(at_new), bool)
    for name in TOLD:
        differs |= before.table[name][at_old] != after.table[name][at_new]
    came = np.setdiff1d(np.arange(len(new)), at_new)
    gone = np.setdiff1d(np.arange(len(old)), at_old)
    loud = after.table["band"] != Band.QUIET
    came, gone = came[loud[came]], gone[before.table["band"][gone] != Band.QUIET]
    was_of = dict(zip(at_new[differs].tolist(), at_old[differs].tolist(), strict=True))
    rows = _by_urgency(after.table, np.concatenate([at_new[differs], came]))
    overdue = after.table["band"][rows] == Band.OVERDUE
    shown = _Shown(before, after, rows[:MOST_SHOWN], was_of, day)
    plan = _plan_moves((before, old), (after, new), shown.with_plan)
    first = shown.moves()
    units = after.table["unit_id"][loud]
    moves = Moves(
        on=day,
        units=len(np.unique(units[units != NULL])),
        items=int(loud.sum()),
        moved=len(was_of),
        came=len(came),
        gone=len(gone),
        overdue=int(overdue.sum()),
        bands=_bands(before.table, after.table),
        first=first,
        # What stays on its day is not worked anew: only its check is another.
        pencil=None if after.is_stored else _pencil(first, after.table, day),
        plan=plan,
    )
    return moves, gone


def _plan_moves(
    before: tuple[InReach, Ints],
    after: tuple[InReach, Ints],
    rows_shown: Callable[[Sequence[int]], Sequence[DueRow]],
) -> PlanMoves | None:
    """What of the plan is otherwise, an item known by its key; ``rows_shown`` of rows of what is in reach."""
    (was, old), (now, new) = before, after
    if was.plan is None or now.plan is None:
        return None
    at_old, at_new = was.plan.items.table["at"], now.plan.items.table["at"]
    keys = (old[at_old], new[at_new])
    return compared(was.plan, now.plan, keys, lambda rows: rows_shown(at_new[rows].tolist()))


class _Shown:
    """The rows that are read of one day: what moves, as it was and as it is, and the plan's. Their names are
    looked up once."""

    def __init__(
        self, before: InReach, after: InReach, rows: Ints, was_of: dict[int, int], day: date
    ) -> None:
        self._before, self._after, self._day = before, after, day
        self._rows, self._was_of = rows.tolist(), was_of
        self._was = [was_of[row] for row in self._rows if row in was_of]
        self._read: list[DueRow] | None = None

    def with_plan(self, of_plan: Sequence[int]) -> Sequence[DueRow]:
        """These rows of what is in reach now."""
        items = [
            *_items(self._before, self._was),
            *_items(self._after, [*self._rows, *of_plan]),
        ]
        self._read = _in_words(items, self._day, self._after.is_stored)
        return self._read[len(self._was) + len(self._rows) :]

    def moves(self) -> tuple[Move, ...]:
        """What moves, in its order."""
        if self._read is None:
            self.with_plan([])
        assert self._read is not None
        was, now = iter(self._read[: len(self._was)]), self._read[len(self._was) :]
        return tuple(
            Move(next(was) if row in self._was_of else None, shown)
            for row, shown in zip(self._rows, now, strict=False)
        )


def _items(one: InReach, rows: Sequence[int]) -> list[Item]:
    return items_of(one.table, np.array(rows, np.int64))


def _in_words(items: list[Item], day: date, is_stored: bool) -> list[DueRow]:
    if not items:
        return []
    found = list(rows_of(items, as_of=day, is_stored=is_stored))
    return [replace(row, is_stale=False) for row in found] if is_stored else found


def _by_urgency(table: Table, rows: Ints) -> Ints:
    found: Ints = rows[np.lexsort((table["id"][rows], table["sort_on"][rows], table["band"][rows]))]
    return found


def _with_gone(first: tuple[Move, ...], gone: Ints, before: InReach, day: date) -> tuple[Move, ...]:
    """What is under its limit no more stands behind what moved, as far as there is room."""
    rows = _by_urgency(before.table, gone)[: MOST_SHOWN - len(first)]
    return (
        *first,
        *(
            Move(row, None)
            for row in _in_words(_items(before, rows.tolist()), day, before.is_stored)
        ),
    )


def _bands(before: Table, after: Table) -> tuple[Counted, ...]:
    old, new = (np.bincount(table["band"], minlength=len(Band)) for table in (before, after))
    return tuple(
        Counted(code, word, int(old[at]), int(new[at]))
        for at, (code, word) in enumerate(BANDS)
        if old[at] or new[at]
    )


def _pencil(first: tuple[Move, ...], table: Table, day: date) -> Explanation | None:
    """One of those that move, the first that comes to a date; without any, the first in reach."""
    dated = [move.row.id for move in first if move.row.due_on] or [move.row.id for move in first]
    wanted = dated[:1] or table["id"][_by_urgency(table, np.arange(len(table["id"])))][:1].tolist()
    found = explanations(wanted, day) if wanted else []
    return found[0] if found else None
