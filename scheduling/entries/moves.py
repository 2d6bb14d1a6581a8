"""What an act would move on the due list, were it done: done, reckoned, and taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import numpy as np
from django.db import transaction

from equipment.models import FittedPeriod
from fleet.words.said import days_words
from scheduling.due.lists.explained import explanations
from scheduling.due.lists.reckoned import all_units
from scheduling.due.lists.rows import BANDS, DueRow, Explanation
from scheduling.due.lists.words import rows_of
from scheduling.engine.basis.bands import Band
from scheduling.facts.batch import batch_of_craft, batch_of_units, units_listed
from scheduling.facts.copying import Ints
from scheduling.facts.craft import craft_on
from scheduling.facts.due_table import NULL, Table, empty_table, items_of, table_of
from scheduling.facts.items import LIMIT_BITS, SORT_BITS
from scheduling.facts.rules import Rule, Rules, rules_on
from scheduling.planning.facts.fleet import FleetPlan, plan_from
from scheduling.planning.facts.jobs import items_reckoned
from scheduling.planning.reads.compared import PlanMoves, compared
from scheduling.reckoning.foretelling import foretelling

#: So many lines of what moves are shown; the rest is counted.
MOST_SHOWN = 60
#: What makes an item another one to whoever reads the list.
TOLD = ("band", "due_on", "worst_on", "missing", "due_at_minutes", "due_at_cycles", "due_at_other")


@dataclass(frozen=True, slots=True)
class Reach:
    """Which due items an act may move: of these units and aircraft, under these limits (programme and
    code). None of units and aircraft: of all; no limits: under all."""

    unit_ids: tuple[int, ...] | None = None
    aircraft_ids: tuple[int, ...] | None = None
    limits: frozenset[tuple[int, str]] = frozenset()

    @property
    def is_everywhere(self) -> bool:
        return self.unit_ids is None and self.aircraft_ids is None


@dataclass(frozen=True, slots=True)
class Move:
    """One item before and after; None: it was not there, or is there no more."""

    was: DueRow | None
    now: DueRow | None

    @property
    def row(self) -> DueRow:
        row = self.now or self.was
        assert row is not None
        return row

    @property
    def days(self) -> int | None:
        """By how many days it comes later, earlier where negative; None where no date tells."""
        if not (self.was and self.now and self.was.due_on and self.now.due_on):
            return None
        return (self.now.due_on - self.was.due_on).days

    @property
    def said(self) -> str:
        """By how much it moved, in words."""
        if self.was is None:
            return "new"
        if self.now is None:
            return "no more"
        if not self.days:
            return ""
        return f"{days_words(abs(self.days))} {'later' if self.days > 0 else 'earlier'}"


@dataclass(frozen=True, slots=True)
class Counted:
    """How many items are in one band before and after."""

    code: str
    word: str
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class Moves:
    """What would be otherwise as of one day. ``items`` are all in reach after it, on ``units`` units;
    ``first`` the most urgent of those that move; ``pencil`` one of them worked."""

    on: date
    units: int
    items: int
    moved: int
    came: int
    gone: int
    overdue: int
    bands: tuple[Counted, ...]
    first: tuple[Move, ...]
    pencil: Explanation | None
    #: What of the plan is otherwise; None where only some of an aircraft's items are in reach.
    plan: PlanMoves | None = None
    reach: Reach = Reach()

    @property
    def is_nothing(self) -> bool:
        return not (self.moved or self.came or self.gone or self.is_planned_anew)

    @property
    def is_planned_anew(self) -> bool:
        return self.plan is not None and not self.plan.is_nothing

    @property
    def unshown(self) -> int:
        return self.moved + self.came + self.gone - len(self.first)


@dataclass(frozen=True, slots=True)
class _Reckoned:
    table: Table
    rules: Rules
    plan: FleetPlan | None = None


def foresee(
    do: Callable[[], Any], reach: Reach, days: Sequence[date], *, follows: bool = False
) -> list[Moves]:
    """This will do the act, say what it moves as of each day, and take it back. Refuses as the act
    does; nobody is told, and nothing is kept. ``follows``: several acts, of which a later one may read what the
    stored list says after an earlier one."""
    with transaction.atomic():
        before = [_reckoned(reach, day) for day in days]
        with nullcontext() if follows else foretelling():
            do()
        after = [_reckoned(reach, day) for day in days]
        told = [_told(*both) for both in zip(days, before, after, strict=True)]
        transaction.set_rollback(True)
    return [
        replace(moves, first=_with_gone(moves.first, gone, one, moves.on), reach=reach)
        for (moves, gone), one in zip(told, before, strict=True)
    ]


def _reckoned(reach: Reach, day: date) -> _Reckoned:
    rules = rules_on(day)
    if reach.limits:
        ahead = tuple((from_on, _under(reach, of_day)) for from_on, of_day in rules.ahead)
        rules = replace(rules, rules=_under(reach, rules.rules), ahead=ahead)
    if not rules.asks:
        return _Reckoned(empty_table(), rules)
    if reach.is_everywhere:
        craft, which = craft_on(day, rules.measures), all_units()
        tables = [table_of(batch_of_units(one, day, rules=rules, craft=craft)) for one in which]
        tables.append(table_of(batch_of_craft(day, rules=rules, craft=craft)))
    else:
        # Only the aircraft that these units were on are read, not the fleet.
        aircraft = list(reach.aircraft_ids or ())
        units = units_listed(sorted({*(reach.unit_ids or ()), *_fitted(aircraft)}))
        tables = [table_of(batch_of_units(units, day, rules=rules))]
        if aircraft:
            named = craft_on(day, rules.measures, aircraft)
            tables.append(table_of(batch_of_craft(day, rules=rules, craft=named)))
    table = {name: np.concatenate([one[name] for one in tables]) for name in tables[0]}
    return _Reckoned(table, rules, _planned(table, reach, day))


def _planned(table: Table, reach: Reach, day: date) -> FleetPlan | None:
    """The plan of whole aircraft, as far as all of their items were reckoned."""
    if reach.limits or reach.unit_ids is not None:
        return None
    return plan_from(day, items_reckoned(table), reach.aircraft_ids)


def _under(reach: Reach, rules: Iterable[Rule]) -> tuple[Rule, ...]:
    return tuple(one for one in rules if (one.programme_id, one.limit.code) in reach.limits)


def _fitted(aircraft_ids: Iterable[int]) -> list[int]:
    there = FittedPeriod.objects.filter(to_at=None, aircraft__in=list(aircraft_ids))
    return list(there.values_list("unit_id", flat=True))


def _keys(one: _Reckoned, codes: list[tuple[int, str]]) -> Ints:
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


def _told(day: date, before: _Reckoned, after: _Reckoned) -> tuple[Moves, Ints]:
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
    first = _moves(after, before, rows[:MOST_SHOWN], was_of, day)
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
        pencil=_pencil(first, after.table, day),
        plan=_plan_moves((before, old), (after, new), day),
    )
    return moves, gone


def _plan_moves(
    before: tuple[_Reckoned, Ints], after: tuple[_Reckoned, Ints], day: date
) -> PlanMoves | None:
    """What of the plan is otherwise, an item known by its key."""
    (was, old), (now, new) = before, after
    if was.plan is None or now.plan is None:
        return None
    at_old, at_new = was.plan.items.table["at"], now.plan.items.table["at"]
    keys = (old[at_old], new[at_new])
    return compared(was.plan, now.plan, keys, lambda rows: _shown(now, at_new[rows].tolist(), day))


def _by_urgency(table: Table, rows: Ints) -> Ints:
    found: Ints = rows[np.lexsort((table["id"][rows], table["sort_on"][rows], table["band"][rows]))]
    return found


def _moves(
    after: _Reckoned, before: _Reckoned, rows: Ints, was_of: dict[int, int], day: date
) -> tuple[Move, ...]:
    old = [was_of[row] for row in rows.tolist() if row in was_of]
    was = iter(_shown(before, old, day))
    now = _shown(after, rows.tolist(), day)
    return tuple(
        Move(next(was) if row in was_of else None, shown)
        for row, shown in zip(rows.tolist(), now, strict=True)
    )


def _shown(one: _Reckoned, rows: list[int], day: date) -> list[DueRow]:
    items = items_of(one.table, np.array(rows, np.int64))
    return list(rows_of(items, as_of=day, is_stored=False))


def _with_gone(
    first: tuple[Move, ...], gone: Ints, before: _Reckoned, day: date
) -> tuple[Move, ...]:
    """What is under its limit no more stands behind what moved, as far as there is room."""
    rows = _by_urgency(before.table, gone)[: MOST_SHOWN - len(first)]
    return (*first, *(Move(row, None) for row in _shown(before, rows.tolist(), day)))


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
