"""Due items on aircraft as jobs: what comes off with one unit is one job, done at the first of its days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.db import connection

from scheduling.engine.basis.bands import Band
from scheduling.facts.copying import NO_DATE, Ints, day, flag, key, read
from scheduling.models import Placement
from scheduling.placing.columns import NONE, OWN_TIME

NOW = (Band.UNSERVICEABLE, Band.OVERDUE)
PLACEABLE = (Band.OUT_OF_PHASE, Band.NEXT_CHECK, Band.LATER_CHECK, Band.BEYOND_PLAN)
DATED = (*NOW, *PLACEABLE, Band.BEFORE_RETURN)
#: The last day of what has none: far behind every check.
FAR = 1 << 22

COLUMNS = {
    "id": "d.id",
    "aircraft": "d.aircraft_id",
    "band": "d.band::bigint",
    "due_on": day("d.due_on"),
    "work": "d.work_id",
    "position": key("d.position_id"),
    "line": key("d.line_unit_id"),
    "unit": key("d.unit_id"),
    "part": key("d.part_number_id"),
    "in_place": flag("w.is_done_in_place"),
}
ITEMS = """
FROM scheduling_dueitem d JOIN scheduling_work w ON w.id = d.work_id
WHERE d.aircraft_id IS NOT NULL AND d.band = ANY(%s) AND (%s::bigint[] IS NULL OR d.aircraft_id = ANY(%s::bigint[]))
"""
# The key of a due item is made of its subject and its limit: so the decisions find their items by it.
DECIDED = """
SELECT d.id, p.sort, p.check_planned_id FROM (
  SELECT DISTINCT ON (unit_id, position_id, aircraft_id, programme_id, limit_code) *
  FROM scheduling_placement ORDER BY unit_id, position_id, aircraft_id, programme_id, limit_code, id DESC
) p
JOIN scheduling_limit l ON l.programme_id = p.programme_id AND l.code = p.limit_code
JOIN scheduling_dueitem d ON d.id = ((coalesce(p.unit_id, p.position_id, p.aircraft_id) << 20) | l.id) << 2
  | CASE WHEN p.unit_id IS NOT NULL THEN 0 WHEN p.position_id IS NOT NULL THEN 1 ELSE 2 END
WHERE p.sort <> 'rule' AND d.start_on IS NOT DISTINCT FROM p.start_on
"""


@dataclass(frozen=True, slots=True)
class Items:
    """Due items of aircraft in columns, and to which job each belongs. ``job`` is a row of ``first``, which
    has the row of the item that decides when the job is done; NONE for what has no day."""

    table: dict[str, Ints]
    job: Ints
    first: Ints

    def of_jobs(self, column: str) -> Ints:
        """A column, of the item that decides for each job."""
        found: Ints = self.table[column][self.first]
        return found

    def rows_of(self, job: int) -> Ints:
        """The rows of a job's items, the one that decides first."""
        rows = np.flatnonzero(self.job == job)
        first = int(self.first[job])
        return np.concatenate([[first], rows[rows != first]])


def items_on(aircraft_ids: Sequence[int] | None = None) -> Items:
    """The stored due items of these aircraft (None: of all) that are planned for, as jobs. One question."""
    bands = [int(band) for band in (*DATED, Band.NO_BASIS)]
    these = None if aircraft_ids is None else list(aircraft_ids)
    return jobs_of(read(COLUMNS, ITEMS, [bands, these, these]))


def jobs_of(table: dict[str, Ints]) -> Items:
    """Items gathered into jobs: those for which one unit comes off are one. What is overdue or not serviceable
    decides before the others, then the first that runs out."""
    off = (table["line"] >= 0) & ((table["unit"] != table["line"]) | (table["in_place"] == 0))
    keys = np.where(off, table["line"] << 1, (table["id"] << 1) | 1)
    dated = np.flatnonzero(np.isin(table["band"], [int(band) for band in DATED]))
    later = ~np.isin(table["band"], [int(band) for band in NOW])
    due = last_days(table["due_on"])
    order = np.lexsort((table["id"][dated], due[dated], later[dated], keys[dated]))
    dated = dated[order]
    is_first = np.ones(len(dated), bool)
    is_first[1:] = keys[dated][1:] != keys[dated][:-1]
    job = np.full(len(keys), NONE)
    job[dated] = np.cumsum(is_first) - 1
    return Items(table, job, dated[is_first])


def last_days(due_on: Ints) -> Ints:
    """Days since 1970; of what has none a day behind all others."""
    return np.where(due_on == NO_DATE, FAR, due_on)


def chosen_for(items: Items, check_ids: Sequence[int]) -> Ints:
    """What the controller decided of each job: the row of the check, the earliest of several; OWN_TIME;
    NONE. One question. A check that is no more to come is as if it came too late."""
    found = np.full(len(items.first), NONE)
    place = {check: row for row, check in enumerate(check_ids)}
    with connection.cursor() as cursor:
        cursor.execute(DECIDED)
        decided = cursor.fetchall()
    if not decided:
        return found
    order = np.argsort(items.table["id"])
    ids = items.table["id"][order]
    for item, sort, check in decided:
        at = int(np.searchsorted(ids, item))
        if at == len(ids) or ids[at] != item or items.job[order[at]] < 0:
            continue
        job = int(items.job[order[at]])
        if sort == Placement.OWN_TIME or found[job] == OWN_TIME:
            found[job] = OWN_TIME
        elif found[job] == NONE or place.get(check, len(place)) < found[job]:
            found[job] = place.get(check, len(place))
    return found
