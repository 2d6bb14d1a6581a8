"""Which units on aircraft are not serviceable as of a day: tagged so, or failed in a work; and all inside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db import connection

from equipment.grounding.unfit import (
    AT_THE_TIME,
    ON_AIRCRAFT,
    Unfit,
    position_codes,
    tagged_on,
    with_documents,
)
from equipment.ledger.nesting import inside_at
from scheduling.facts.units import end_of
from scheduling.models import Work

# The latest failure of each work on each unit that nothing answers: not the same work passed since, nor
# the shop's own word that the unit is serviceable.
FAILED = f"""
SELECT f.unit_id, f.aircraft_id, f.root_position_id, f.place_id, w.work_id, max(w.done_on)
{ON_AIRCRAFT} JOIN scheduling_workdone w ON w.unit_id = o.id {AT_THE_TIME}
  AND w.result = 'failed' AND w.done_on <= %(on)s AND NOT w.is_annulment
  AND NOT EXISTS (SELECT FROM scheduling_workdone c WHERE c.corrects_id = w.id)
  AND NOT EXISTS (
    SELECT FROM scheduling_workdone s JOIN equipment_unit r ON r.id = s.unit_id
    WHERE coalesce(r.merged_into_id, r.id) = f.unit_id AND s.work_id = w.work_id AND s.result = 'passed'
      AND s.limit_code IN ('', w.limit_code)
      AND (s.done_on, s.id) > (w.done_on, w.id) AND s.done_on <= %(on)s AND NOT s.is_annulment
      AND NOT EXISTS (SELECT FROM scheduling_workdone c WHERE c.corrects_id = s.id)
  )
  AND NOT EXISTS (
    SELECT FROM equipment_unittag t JOIN equipment_unit r ON r.id = t.unit_id
    WHERE coalesce(r.merged_into_id, r.id) = f.unit_id AND t.sort = 'serviceable' AND t.why = 'shop'
      AND t.tagged_at <= %(at)s AND t.tagged_at::date >= w.done_on
  )
GROUP BY 1, 2, 3, 4, 5 ORDER BY 1, 5
"""


def unfit_on(aircraft_ids: Sequence[int] | None, as_of: date) -> list[Unfit]:
    """The units on these aircraft (all: None) that are not serviceable as of a day, each with what defers
    it; one reason of each unit, its tag before a failed work."""
    at = end_of(as_of) - timedelta(microseconds=1)
    found = {each.unit_id: each for each in _failed_on(aircraft_ids, as_of)}
    found |= {each.unit_id: each for each in tagged_on(aircraft_ids, at)}
    return with_documents((found[unit] for unit in sorted(found)), as_of)


def _failed_on(aircraft_ids: Sequence[int] | None, as_of: date) -> list[Unfit]:
    asked = {
        "at": end_of(as_of) - timedelta(microseconds=1),
        "on": as_of,
        "aircraft": None if aircraft_ids is None else list(aircraft_ids),
    }
    with connection.cursor() as cursor:
        cursor.execute(FAILED, asked)
        rows = cursor.fetchall()
    names = Work.objects.in_bulk({row[4] for row in rows}) if rows else {}
    codes = position_codes(row[2] for row in rows)
    return [
        Unfit(
            unit_id=unit,
            aircraft_id=aircraft,
            position_id=position,
            place_id=place,
            position=codes[position],
            code="work_failed",
            why=f"failed: {names[work].name}",
            since=on,
        )
        for unit, aircraft, position, place, work, on in rows
    ]


@dataclass(frozen=True, slots=True)
class UnfitUnits:
    """Keys of units on aircraft: all that are not serviceable, or in one that is not; and those of them
    that ground their aircraft, since no document lets them stay."""

    every: tuple[int, ...] = ()
    grounding: tuple[int, ...] = ()


def unfit_units(aircraft_ids: Sequence[int] | None, as_of: date) -> UnfitUnits:
    """As of a day, of these aircraft (all: None)."""
    if aircraft_ids is not None and not aircraft_ids:
        return UnfitUnits()
    found = unfit_on(aircraft_ids, as_of)
    if not found:
        return UnfitUnits()
    at = end_of(as_of) - timedelta(microseconds=1)
    inside = inside_at([each.unit_id for each in found], at)
    grounding = {each.unit_id for each in found if each.grounds(as_of)}
    return UnfitUnits(
        tuple(sorted({unit for units in inside.values() for unit in units})),
        tuple(sorted({unit for root in grounding for unit in inside.get(root, [])})),
    )
