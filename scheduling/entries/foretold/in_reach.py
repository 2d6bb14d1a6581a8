"""The due items in an act's reach, before it and after: reckoned by the engine, or read as far as they are stored."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from equipment.models import FittedPeriod
from scheduling.due.due_list import stored_day
from scheduling.due.lists.reckoned import all_units
from scheduling.engine.basis.bands import BY_PLAN, Placeable, against_plan
from scheduling.facts.batch import batch_of_craft, batch_of_units, units_listed
from scheduling.facts.copying import Ints, days, read
from scheduling.facts.craft import checks_of, craft_on
from scheduling.facts.due_table import NULL, Table, empty_table, stored, table_of
from scheduling.facts.rules import Rule, Rules, rules_on
from scheduling.models import Limit, RecomputeRun, Work
from scheduling.planning.facts.fleet import FleetPlan, plan_again, plan_from
from scheduling.planning.facts.jobs import items_reckoned


@dataclass(frozen=True, slots=True)
class Reach:
    """Which due items an act may move: of these units and aircraft, under these limits (programme and
    code). None of units and aircraft: of all; no limits: under all. ``is_of_checks``: it changes ground times
    of these aircraft and nothing else, so every last day stays what it is. ``with_spares``: which units are proposed
    for planned removals may change too."""

    unit_ids: tuple[int, ...] | None = None
    aircraft_ids: tuple[int, ...] | None = None
    limits: frozenset[tuple[int, str]] = frozenset()
    is_of_checks: bool = False
    with_spares: bool = False

    @property
    def is_everywhere(self) -> bool:
        return self.unit_ids is None and self.aircraft_ids is None


@dataclass(frozen=True, slots=True)
class InReach:
    """The items in reach as of a day, the rules they fall under, and the plan where whole aircraft are in
    reach. ``is_stored``: read from the stored list, and not reckoned."""

    table: Table
    rules: Rules
    plan: FleetPlan | None = None
    is_stored: bool = False


def before_it(reach: Reach, day: date) -> InReach:
    """What is in reach while nothing is done yet."""
    if reach.is_of_checks and (table := _stored(reach, day)) is not None:
        return InReach(table, rules_on(day), _planned(table, reach, day), is_stored=True)
    return reckoned(reach, day)


def after_it(before: InReach, reach: Reach, day: date) -> InReach:
    """The same with the act done. Where only ground times change, the plan alone is told anew: which check is
    the last in time. Else all is reckoned."""
    if not before.is_stored:
        return reckoned(reach, day)
    table = _by_the_checks(before.table, reach, day)
    assert before.plan is not None
    at = before.plan.items.table["at"]
    anew = before.plan.items.table | {"band": table["band"][at]}
    return replace(
        before, table=table, plan=plan_again(before.plan, anew, list(reach.aircraft_ids or ()))
    )


def reckoned(reach: Reach, day: date) -> InReach:
    rules = rules_on(day)
    if reach.limits:
        ahead = tuple((from_on, _under(reach, of_day)) for from_on, of_day in rules.ahead)
        rules = replace(rules, rules=_under(reach, rules.rules), ahead=ahead)
    if not rules.asks:
        return InReach(empty_table(), rules)
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
    return InReach(table, rules, _planned(table, reach, day))


def _stored(reach: Reach, day: date) -> Table | None:
    """The stored items of these aircraft, where they hold for the day and none of them is stale or waits for a
    run; else None. Six questions."""
    these = list(reach.aircraft_ids or ())
    if stored_day() != day or RecomputeRun.objects.filter(finished_at=None).exists():
        return None
    table = stored("d.aircraft_id = ANY(%s)", [these])
    return None if _is_stale(table) else table


#: Of a stored item: whose stamp it was reckoned from, and that stamp.
STAMPED = (
    ("unit_id", "unit_stamp", "equipment_unit"),
    ("aircraft_id", "aircraft_stamp", "fleet_aircraft"),
)


def _is_stale(table: Table) -> bool:
    """Whether a fact of any of these items has changed since it was reckoned."""
    for owner, kept, name in STAMPED:
        rows = np.flatnonzero(table[owner] != NULL)
        ids = np.unique(table[owner][rows])
        now = read(
            {"id": "o.id", "stamp": "o.facts_stamp"},
            f"FROM {name} o WHERE o.id = ANY(%s) ORDER BY o.id",
            [ids.tolist()],
        )
        if len(now["id"]) != len(ids):
            return True
        if (now["stamp"][np.searchsorted(ids, table[owner][rows])] != table[kept][rows]).any():
            return True
    stamps = dict(Limit.objects.values_list("pk", "programme__facts_stamp"))
    of_limits = [(int(key), int(stamp)) for key, stamp in _pairs(table)]
    return any(stamps.get(key) != stamp for key, stamp in of_limits)


def _pairs(table: Table) -> Ints:
    """Each limit with each stamp of its programme that an item has, once."""
    found: Ints = np.unique(np.stack([table["limit_id"], table["programme_stamp"]], axis=1), axis=0)
    return found


def _by_the_checks(table: Table, reach: Reach, day: date) -> Table:
    """A stored table with the bands that its aircraft's checks of now tell. Two questions."""
    ids = np.unique(np.array(reach.aircraft_ids, np.int64))
    check_ids, checks = checks_of(ids, ids.tolist())
    rows = np.flatnonzero(np.isin(table["band"], [int(band) for band in BY_PLAN]))
    works, work = np.unique(table["work_id"][rows], return_inverse=True)
    names = dict(Work.objects.filter(pk__in=works.tolist()).values_list("pk", "name"))
    items = Placeable(
        np.searchsorted(ids, table["aircraft_id"][rows]),
        days(table["due_on"][rows]),
        work.reshape(-1),
        [names[key] for key in works.tolist()],
    )
    band, check = against_plan(items, checks, day)
    new = {name: table[name].copy() for name in ("band", "check_planned_id")}
    new["band"][rows] = band
    new["check_planned_id"][rows] = np.where(check >= 0, np.append(check_ids, 0)[check], NULL)
    return table | new


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
