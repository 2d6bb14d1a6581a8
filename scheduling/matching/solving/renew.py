"""A proposal after one change, worked out anew only where the change reaches."""

from __future__ import annotations

from typing import Any

import numpy as np

from scheduling.matching.facts.change import Change, Changed, changed_columns
from scheduling.matching.facts.columns import Bools, Columns, Ints

from .proposal import Proposal, propose
from .screen import reason_bits


def renew(previous: Proposal, change: Change) -> Proposal:
    """The proposal that :func:`propose` would make of the changed facts.

    What hangs together by possible pairs is decided by itself alone. So only the groups are solved again in
    which something was, is gone, or now has a possible pair; all others stay as they are.
    """
    changed = changed_columns(previous.columns, change)
    groups = _groups_reached(previous, changed)
    need_group = _carried(previous.need_group, changed.old_need)
    supply_group = _carried(previous.supply_group, changed.old_supply)
    needs = np.flatnonzero(changed.need_touched | np.isin(need_group, groups))
    supplies = np.flatnonzero(changed.supply_touched | np.isin(supply_group, groups))
    part = propose(changed.columns.take(needs, supplies))
    return _merged(previous, changed, (need_group, supply_group), (needs, supplies), part)


def _carried(values: Ints, old: Ints) -> Ints:
    return np.where(old >= 0, values[old], -1) if len(values) else np.full(len(old), -1)


def _groups_reached(previous: Proposal, changed: Changed) -> Ints:
    """The groups before in which a row changed, or to which a changed row now has a pair."""
    columns = changed.columns
    beside = _any_pair(columns, changed.need_touched, changed.supply_touched)
    need_group = _carried(previous.need_group, changed.old_need)
    supply_group = _carried(previous.supply_group, changed.old_supply)
    return np.unique(
        np.concatenate(
            [
                previous.need_group[changed.needs_left],
                previous.supply_group[changed.supplies_left],
                need_group[beside[0]],
                supply_group[beside[1]],
            ]
        )
    )


def _any_pair(columns: Columns, needs: Bools, supplies: Bools) -> tuple[Bools, Bools]:
    """(needs with a pair among these supplies, supplies with a pair among these needs)."""
    all_needs, all_supplies = np.arange(len(needs)), np.arange(len(supplies))
    some_needs, some_supplies = np.flatnonzero(needs), np.flatnonzero(supplies)
    of_needs = _possible(columns, all_needs[:, None], some_supplies[None, :]).any(axis=1)
    of_supplies = _possible(columns, some_needs[:, None], all_supplies[None, :]).any(axis=0)
    return of_needs, of_supplies


def _possible(columns: Columns, needs: Any, supplies: Any) -> Any:
    return reason_bits(columns, needs, supplies) == 0


def _merged(
    previous: Proposal,
    changed: Changed,
    groups: tuple[Ints, Ints],
    rows: tuple[Ints, Ints],
    part: Proposal,
) -> Proposal:
    """What was, by its new rows, with the part that was solved again laid over it."""
    (need_group, supply_group), (needs, supplies) = groups, rows
    beyond = 1 + max(need_group.max(initial=-1), supply_group.max(initial=-1))
    supply_of = _new_rows(previous, changed)
    cost = _carried(previous.cost, changed.old_need)
    # The place after the last stands for "no unit": -1 picks it.
    supply_of[needs] = np.append(supplies, -1)[part.supply_of]
    cost[needs] = part.cost
    need_group[needs], supply_group[supplies] = part.need_group + beyond, part.supply_group + beyond
    return Proposal(changed.columns, supply_of, cost, need_group, supply_group)


def _new_rows(previous: Proposal, changed: Changed) -> Ints:
    """Each need's supply before, by its row now; -1 for none, or one that is gone."""
    new_row = np.full(len(previous.columns.supplies) + 1, -1, dtype=np.int64)
    stayed = np.flatnonzero(changed.old_supply >= 0)
    new_row[changed.old_supply[stayed]] = stayed
    return new_row[_carried(previous.supply_of, changed.old_need)]
