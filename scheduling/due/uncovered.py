"""Cylinders whose specification asks for a periodic test, and which no limit of a programme covers.

Which of a specification's periods holds (49 CFR 180.209 Table 1 has 5, 10 or 12 years for one) is the
programme's to say, so none is guessed here as a limit: that there is none is said, and until it is
there the test is unknown, so that the cylinder is not filled, and is handed over by a named decision.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import NamedTuple

import numpy as np
from django.db import connection

from equipment.common.wording import unit_words
from equipment.ledger.arrays import array_of
from equipment.models import CylinderDesign, Requalification, Unit
from fleet.aircraft.planned import left_by
from fleet.words.said import day_words
from scheduling.engine.basis.months import add_months, month_end
from scheduling.facts.items import LIMIT_BITS, SORT_BITS, UNIT, subject_of
from scheduling.facts.units import end_of
from scheduling.models import Limit

from .of_units import reckoned

COVERS = "until_emptied"
# By the range of keys of a unit: there is no index of stored items by unit. A value, not EXISTS, which would be
# planned as one join of all of them with all items: seconds for ten thousand cylinders.
IS_COVERED = f"""coalesce((
    SELECT true FROM scheduling_dueitem i
    WHERE i.id >= u.id << {LIMIT_BITS + SORT_BITS} AND i.id < (u.id + 1) << {LIMIT_BITS + SORT_BITS}
      AND i.id & {(1 << SORT_BITS) - 1} = {UNIT}
      AND i.limit_id = ANY (ARRAY(SELECT limit_id FROM scheduling_clock WHERE runs_out = '{COVERS}'))
    LIMIT 1
), false)"""
COVERED = f"SELECT u.id FROM unnest(%(units)s::bigint[]) AS u (id) WHERE {IS_COVERED}"
FITTED = f"""
SELECT u.id, f.aircraft_id, f.root_position_id, f.line_unit_id, u.part_number_id, n.kind_id, a.station_id,
    s.document
FROM equipment_cylinderspecification s
JOIN equipment_cylinderdesign c ON c.specification_id = s.id
JOIN equipment_partnumber n ON n.id = c.part_number_id
JOIN equipment_unit u ON u.part_number_id = n.id AND u.merged_into_id IS NULL
JOIN equipment_fittedperiod f ON f.unit_id = u.id
    AND f.from_at < %(end)s AND (f.to_at IS NULL OR f.to_at >= %(end)s)
JOIN fleet_aircraft a ON a.id = f.aircraft_id
WHERE s.period_months IS NOT NULL AND NOT {IS_COVERED}
ORDER BY u.id
"""


class Fitted(NamedTuple):
    """Such a cylinder on an aircraft: the keys of what a due item of it would name, and what asks for its test."""

    unit_id: int
    aircraft_id: int
    position_id: int
    line_unit_id: int
    part_number_id: int
    kind_id: int
    station_id: int
    document: str


def uncovered(unit_ids: Collection[int], on: date) -> dict[int, str]:
    """What is said of each of these units that is such a cylinder, by its key; the others are missing.

    Few questions for any number of units: those that stored due items show to be covered are, and only
    the rest is reckoned.
    """
    designs = CylinderDesign.objects.filter(specification__period_months__isnull=False)
    parts = set(designs.values_list("part_number", flat=True))
    if not parts:
        return {}
    rows = Unit.objects.filter(pk__in=unit_ids, part_number__in=parts, merged_into=None)
    cylinders = set(rows.values_list("pk", flat=True))
    left = sorted(cylinders - _stored_as_covered(cylinders)) if cylinders else []
    if not left:
        return {}
    return _sentences(set(left) - _reckoned_as_covered(left, on))


def uncovered_on_aircraft(on: date, *, is_stored: bool) -> list[tuple[Fitted, str]]:
    """Those that are on an aircraft at the end of a day, with what is said of each. One question where there
    are none; ``is_stored``: the stored due items hold for that day, and nothing is reckoned."""
    with connection.cursor() as cursor:
        cursor.execute(FITTED, {"end": end_of(on)})
        found = [Fitted(*row) for row in cursor.fetchall()]
    if not found:
        return []
    gone = left_by(on)
    here = {each.unit_id: each for each in found if each.aircraft_id not in gone}
    said = _sentences(list(here)) if is_stored else uncovered(here, on)
    return [(here[key], words) for key, words in said.items()]


def _stored_as_covered(units: Collection[int]) -> set[int]:
    with connection.cursor() as cursor:
        cursor.execute(COVERED, {"units": array_of(sorted(units))})
        return {unit for (unit,) in cursor.fetchall()}


def _reckoned_as_covered(units: list[int], on: date) -> set[int | None]:
    limits = set(Limit.objects.filter(clocks__runs_out=COVERS).values_list("pk", flat=True))
    return {
        item.unit_id
        for item in (reckoned(units, on) if limits else ())
        if item.limit_id in limits and subject_of(item.id)[2] == UNIT
    }


def _sentences(units: Collection[int]) -> dict[int, str]:
    """What is said of each of these cylinders."""
    rows = Unit.objects.select_related("part_number__cylinder__specification").order_by("pk")
    tested = _last_tests(units)
    return {
        unit.pk: _sentence(unit, unit.part_number.cylinder, tested.get(unit.pk))
        for unit in rows.filter(pk__in=units)
    }


def uncovered_in_all(on: date) -> dict[int, str]:
    """The same of every unit on record that is not gone."""
    units = Unit.objects.filter(part_number__cylinder__isnull=False, merged_into=None)
    return uncovered(list(units.exclude(place__sort="gone").values_list("pk", flat=True)), on)


def _last_tests(units: Iterable[int]) -> Mapping[int, date]:
    """The month of the last passed requalification on record of each unit."""
    rows = Requalification.objects.filter(unit__in=list(units), verdict="in")
    return dict(rows.order_by("done_on", "pk").values_list("unit", "done_on"))


def _sentence(unit: Unit, design: CylinderDesign, tested: date | None) -> str:
    """``HS-1 S/N 7 is a 3AA cylinder, and no limit of a programme covers its periodic test …``"""
    specification = design.specification
    months = specification.period_months or 0
    began, since = (
        (tested, "its last test on record") if tested else (unit.manufactured_on, "its manufacture")
    )
    aid = ""
    if began is not None:
        aid = f" Counted from {since} that would be {day_words(_good_through(began, months))}."
    return (
        f"{unit_words(unit)} is a {specification.code} cylinder, and no limit of a programme covers its "
        f"periodic test: {specification.document} has {months} months.{aid} Enter the limit."
    )


def _good_through(began: date, months: int) -> date:
    """The last day of the month that lies so many months after (180.205(c): by month and year)."""
    day: date = month_end(add_months(np.array([began], "datetime64[D]"), months))[0].item()
    return day
