"""Due items on aircraft as jobs: what comes off with one unit is one job, done at the first of its days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.db import connection

from scheduling.engine.basis.bands import Band
from scheduling.facts.copying import NO_DATE, Ints, day, flag, key, read
from scheduling.models import Placement, Work
from scheduling.placing.columns import NONE, OWN_TIME, Bools

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
    "start_on": day("d.start_on"),
    "flags": "d.flags::bigint",
    "in_place": flag("w.is_done_in_place"),
}
#: Of a table of reckoned items: which of its columns stand for these, -1 for none.
RECKONED = {
    "position": "position_id",
    "line": "line_unit_id",
    "unit": "unit_id",
    "part": "part_number_id",
}
ITEMS = """
FROM scheduling_dueitem d JOIN scheduling_work w ON w.id = d.work_id
WHERE d.aircraft_id IS NOT NULL AND d.band = ANY(%s) AND (%s::bigint[] IS NULL OR d.aircraft_id = ANY(%s::bigint[]))
"""
# The key of a due item is made of its subject and its limit: so the decisions find their items by it.
DECIDED = """
SELECT ((coalesce(p.unit_id, p.position_id, p.aircraft_id) << 20) | l.id) << 2
  | CASE WHEN p.unit_id IS NOT NULL THEN 0 WHEN p.position_id IS NOT NULL THEN 1 ELSE 2 END,
  p.sort, p.check_planned_id, coalesce(p.start_on - DATE '1970-01-01', %s)
FROM (
  SELECT DISTINCT ON (unit_id, position_id, aircraft_id, programme_id, limit_code) *
  FROM scheduling_placement ORDER BY unit_id, position_id, aircraft_id, programme_id, limit_code, id DESC
) p
JOIN scheduling_limit l ON l.programme_id = p.programme_id AND l.code = p.limit_code
WHERE p.sort <> 'rule'
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


def items_reckoned(table: dict[str, Ints]) -> Items:
    """The same of a table of items that were reckoned and not stored; ``at`` is the row there. One question."""
    bands = [int(band) for band in (*DATED, Band.NO_BASIS)]
    at = np.flatnonzero((table["aircraft_id"] != NO_DATE) & np.isin(table["band"], bands))
    in_place = list(Work.objects.filter(is_done_in_place=True).values_list("pk", flat=True))
    found = {
        "at": at,
        "id": table["id"][at],
        "aircraft": table["aircraft_id"][at],
        "band": table["band"][at],
        "due_on": table["due_on"][at],
        "work": table["work_id"][at],
        "start_on": table["start_on"][at],
        "flags": table["flags"][at].astype(np.int64),
        "in_place": np.isin(table["work_id"][at], in_place).astype(np.int64),
    }
    for name, column in RECKONED.items():
        found[name] = np.where(table[column][at] == NO_DATE, NONE, table[column][at])
    return jobs_of(found)


def jobs_of(table: dict[str, Ints]) -> Items:
    """Items gathered into jobs: those for which one unit comes off are one. What is overdue or not serviceable
    decides before the others, then the first that runs out."""
    keys = np.where(comes_off(table), table["line"] << 1, (table["id"] << 1) | 1)
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


def comes_off(table: dict[str, Ints]) -> Bools:
    """Items for which the unit on the line comes off: all but works done in place on it while it is serviceable."""
    is_elsewhere = (table["unit"] != table["line"]) | (table["in_place"] == 0)
    found: Bools = (table["line"] >= 0) & (is_elsewhere | (table["band"] == Band.UNSERVICEABLE))
    return found


def last_days(due_on: Ints) -> Ints:
    """Days since 1970; of what has none a day behind all others."""
    return np.where(due_on == NO_DATE, FAR, due_on)


def chosen_for(items: Items, check_ids: Sequence[int]) -> Ints:
    """What the controller decided of each job: the row of the check, the earliest of several; OWN_TIME;
    NONE. One question. A check that is no more to come is as if it came too late."""
    found = np.full(len(items.first), NONE)
    place = {check: row for row, check in enumerate(check_ids)}
    with connection.cursor() as cursor:
        cursor.execute(DECIDED, [NO_DATE])
        decided = cursor.fetchall()
    if not decided:
        return found
    order = np.argsort(items.table["id"])
    ids = items.table["id"][order]
    for item, sort, check, start_on in decided:
        at = int(np.searchsorted(ids, item))
        if at == len(ids) or ids[at] != item or items.job[order[at]] < 0:
            continue
        if items.table["start_on"][order[at]] != start_on:  # it was of an interval that has ended
            continue
        job = int(items.job[order[at]])
        if sort == Placement.OWN_TIME or found[job] == OWN_TIME:
            found[job] = OWN_TIME
        elif found[job] == NONE or place.get(check, len(place)) < found[job]:
            found[job] = place.get(check, len(place))
    return found
