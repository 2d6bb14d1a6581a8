"""What takes a unit off before its own time: what is inside it and comes out in the shop only."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.db import connection

from equipment.ledger.nesting import inside_now
from scheduling.engine.basis.bands import Band
from scheduling.facts.batch import batch_of_units, units_listed
from scheduling.facts.due_table import items_of, table_of
from scheduling.facts.items import LIMIT_BITS, SORT_BITS, UNIT, Item

# By the range of keys of each unit: there is no index by unit, nor need of one.
STORED = f"""
SELECT d.line_unit_id, d.unit_id, d.due_on, w.name
FROM unnest(%(units)s::bigint[]) AS n (unit)
JOIN LATERAL (
    SELECT i.* FROM scheduling_dueitem i
    WHERE i.id >= n.unit << {LIMIT_BITS + SORT_BITS} AND i.id < (n.unit + 1) << {LIMIT_BITS + SORT_BITS}
      AND i.id & {(1 << SORT_BITS) - 1} = {UNIT}
) d ON true
JOIN scheduling_work w ON w.id = d.work_id
WHERE d.line_unit_id <> d.unit_id AND d.due_on IS NOT NULL AND d.unit_id = n.unit AND d.band <> {int(Band.QUIET)}
"""


@dataclass(frozen=True, slots=True)
class TakenOff:
    """The first work inside a unit that it has to come off for: by which day, of which unit inside."""

    by_on: date
    unit_id: int
    work: str


def taken_off_by(items: Iterable[Item], as_of: date, is_stored: bool) -> dict[int, TakenOff]:
    """By each unit of these items that comes off as it is, what is due inside it first. Two questions of
    stored items; of another day what is inside is reckoned for that day."""
    outer = {item.line_unit_id for item in items if item.line_unit_id == item.unit_id}
    return first_inside(sorted(key for key in outer if key is not None), as_of, is_stored)


def first_inside(line_units: Iterable[int], as_of: date, is_stored: bool) -> dict[int, TakenOff]:
    """By each of these units what falls due first inside it, of what comes off with it."""
    inner = {
        unit for root, units in inside_now(line_units).items() for unit in units if unit != root
    }
    if not inner:
        return {}
    found: dict[int, TakenOff] = {}
    for line, unit, due_on, work in _stored(inner) if is_stored else _reckoned(inner, as_of):
        if line not in found or (due_on, unit) < (found[line].by_on, found[line].unit_id):
            found[line] = TakenOff(due_on, unit, work)
    return found


Row = tuple[int, int, date, str]


def _stored(units: set[int]) -> list[Row]:
    with connection.cursor() as cursor:
        cursor.execute(STORED, {"units": sorted(units)})
        return list(cursor.fetchall())


def _reckoned(units: set[int], as_of: date) -> list[Row]:
    batch = batch_of_units(units_listed(sorted(units)), as_of)
    table = table_of(batch)
    works = {rule.work_id: rule.limit.work for part in batch.parts() for rule in part.rules.rules}
    return [
        (item.line_unit_id, item.unit_id, item.due_on, works[item.work_id])
        for item in items_of(table, np.arange(len(table["id"])))
        if item.due_on
        and item.unit_id
        and item.line_unit_id not in (None, item.unit_id)
        and item.band != Band.QUIET
    ]
