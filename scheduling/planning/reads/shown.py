"""Jobs of the plan as they are read: the due item, its check, why there, what is needed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NamedTuple

import numpy as np

from scheduling.due.lists.rows import DueRow
from scheduling.due.lists.words import rows_of
from scheduling.facts.copying import Ints
from scheduling.facts.due_table import items_of, stored
from scheduling.models import DueItem, Placement
from scheduling.placing.columns import NEEDS, PRICED_DAYS, Merged, State

from ..facts.fleet import FleetPlan, day_of
from ..facts.ground import GroundTime
from ..facts.jobs import comes_off
from ..facts.when import planned_days
from ..subject import subject_columns
from .words import STATES, Stands, how_words, needed_words


@dataclass(frozen=True, slots=True)
class Decided:
    """Who put a job where it is, why, and when."""

    by: str
    reason: str
    at: datetime


@dataclass(frozen=True, slots=True)
class JobShown:
    """One job of the plan. ``also``: so many other works are done as its unit comes off; ``days_early``: so
    much life is thrown away at its check; ``on`` and ``station`` are when and where the unit is asked for that
    replaces the one that comes off (``comes_off``), as the proposal asks for it."""

    row: DueRow
    state: str
    word: str
    check: GroundTime | None
    access: str
    how: str
    needed: str
    also: int
    days_early: int | None
    last_on: date | None
    on: date | None
    station: str
    comes_off: bool
    decided: Decided | None = None

    @property
    def item_id(self) -> int:
        return self.row.id


@dataclass(frozen=True, slots=True)
class Saved:
    """What was brought together behind one access: openings fewer, and what that saves, in the operator's
    money."""

    registration: str
    access: str
    openings: int
    opening_saved: int
    life_lost: int
    checks: tuple[GroundTime, ...] = field(default=())

    @property
    def saved(self) -> int:
        return self.opening_saved - self.life_lost


def due_rows_of(item_ids: Sequence[int], as_of: date) -> dict[int, DueRow]:
    """The due list's rows of these items, by their id."""
    if not item_ids:
        return {}
    table = stored("d.id = ANY(%s)", [list(item_ids)])
    items = items_of(table, np.arange(len(table["id"])))
    return {row.id: row for row in rows_of(items, as_of=as_of, is_stored=True)}


def jobs_shown(plan: FleetPlan, rows: Ints) -> list[JobShown]:
    """These rows of the plan, in their order. A fixed number of questions."""
    first = plan.first_items(rows)
    ids = plan.items.table["id"][first].tolist()
    due = due_rows_of(ids, plan.as_of)
    also = np.bincount(plan.items.job[plan.items.job >= 0], minlength=len(plan.items.first))
    asked = zip(
        (also[plan.jobs[rows]] - 1).tolist(),
        planned_days(plan)[rows].tolist(),
        comes_off(plan.items.table)[first].tolist(),
        strict=True,
    )
    decided = decisions_of(
        [key for key, row in zip(ids, rows.tolist(), strict=True) if _is_decided(plan, row)]
    )
    return [
        _shown(plan, row, due[key], _Asked(*each), decided.get(key))
        for row, key, each in zip(rows.tolist(), ids, asked, strict=True)
        if key in due
    ]


def _is_decided(plan: FleetPlan, row: int) -> bool:
    return plan.placed.state[row] in (State.CHOSEN, State.CHOSEN_LATE, State.OWN_TIME)


def stands_of(plan: FleetPlan, row: int) -> Stands:
    """Where one row of the plan stands."""
    placed = plan.placed
    group = int(plan.behind.group[row])
    return Stands(
        State(int(placed.state[row])),
        plan.last_day(row),
        plan.prices.margin_days,
        time_of(plan, int(placed.check[row])),
        time_of(plan, int(placed.last[row])),
        time_of(plan, int(placed.coming[row])),
        plan.behind.names[group] if group >= 0 else "",
    )


def time_of(plan: FleetPlan, row: int) -> GroundTime | None:
    return plan.times[row] if row >= 0 else None


class _Asked(NamedTuple):
    """Of one job: how many others are done with it, its day (since 1970), whether a unit comes off."""

    also: int
    on: int
    comes_off: bool


def _shown(
    plan: FleetPlan, row: int, due: DueRow, asked: _Asked, decided: Decided | None
) -> JobShown:
    stands = stands_of(plan, row)
    code, word = STATES[stands.state]
    early = None
    if stands.check is not None and stands.last_on is not None:
        early = max((stands.last_on - stands.check.starts_on).days, 0)
    return JobShown(
        due,
        code,
        word,
        stands.check,
        stands.access,
        how_words(stands),
        needed_words(stands),
        asked.also,
        early,
        stands.last_on,
        day_of(asked.on),
        stands.check.station if stands.check else due.station,
        asked.comes_off,
        decided,
    )


def decisions_of(item_ids: Sequence[int]) -> dict[int, Decided]:
    """The decision that stands for each of these items. Two questions."""
    items = list(DueItem.objects.filter(pk__in=item_ids).select_related("limit"))
    rows = Placement.objects.filter(limit_code__in={item.limit.code for item in items})
    latest: dict[tuple[object, ...], Placement] = {}
    for one in rows.select_related("placed_by").order_by("pk"):
        key = (one.unit_id, one.position_id, one.aircraft_id, one.programme_id, one.limit_code)
        latest[key] = one
    found = {}
    for item in items:
        own = subject_columns(item)
        subject = (own["unit_id"], own["position_id"], own["aircraft_id"])
        decided = latest.get((*subject, item.limit.programme_id, item.limit.code))
        if decided is not None and decided.start_on == item.start_on:  # it holds for this interval
            found[item.pk] = Decided(
                decided.placed_by.shown_name, decided.reason, decided.placed_at
            )
    return found


def needing(plan: FleetPlan, until_on: date) -> Ints:
    """The rows that somebody must see to: those that fit no check, and those that run out by a day with
    nothing planned late enough; the first to run out first."""
    state, last = plan.placed.state, plan.last_on
    until = until_on.toordinal() - date(1970, 1, 1).toordinal()
    wanted = np.isin(state, [int(one) for one in NEEDS])
    wanted |= (state == State.BEYOND) & (last <= until)
    rows = np.flatnonzero(wanted)
    found: Ints = rows[np.lexsort((plan.jobs[rows], last[rows]))]
    return found


def saved_of(plan: FleetPlan, merged: Iterable[Merged], names: dict[int, str]) -> list[Saved]:
    """What was brought together, the greatest saving first. ``names``: registrations by key."""
    found = []
    for one in merged:
        rows = list(one.rows)
        aircraft = int(plan.items.table["aircraft"][plan.first_items(np.array(rows[:1]))[0]])
        checks = sorted({int(plan.placed.check[row]) for row in rows})
        found.append(
            Saved(
                names.get(aircraft, ""),
                plan.behind.names[one.group],
                one.openings,
                one.opening_saved // PRICED_DAYS,
                -(-one.life_lost // PRICED_DAYS),
                tuple(plan.times[check] for check in checks),
            )
        )
    return sorted(found, key=lambda each: (-each.saved, each.registration, each.access))
