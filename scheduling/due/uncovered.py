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
from django.db.models import Exists, OuterRef, Q

from equipment.common.wording import unit_words
from equipment.ledger.arrays import array_of
from equipment.models import CylinderMarking, Requalification, Unit
from fleet.aircraft.planned import left_by
from fleet.words.said import day_words
from scheduling.engine.basis.months import add_months, month_end
from scheduling.facts.items import LIMIT_BITS, SORT_BITS, UNIT, subject_of
from scheduling.facts.units import end_of
from scheduling.models import Limit
from scheduling.programme.published import points_for

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
# What is stamped on a unit counts before what its part number says; the one read last of several.
_OWN = """SELECT DISTINCT ON (coalesce(mu.merged_into_id, mu.id))
        coalesce(mu.merged_into_id, mu.id) AS unit_id, m.specification
    FROM equipment_cylindermarking m JOIN equipment_unit mu ON mu.id = m.unit_id
    ORDER BY coalesce(mu.merged_into_id, mu.id), m.read_on DESC, m.id DESC"""
ASKED = f"""
WITH own AS ({_OWN})
SELECT u.id, s.code, s.document, s.period_months
FROM equipment_cylinderspecification s
JOIN equipment_cylinderdesign c ON c.specification_id = s.id
JOIN equipment_unit u ON u.part_number_id = c.part_number_id AND u.merged_into_id IS NULL
WHERE s.period_months IS NOT NULL AND u.id = ANY (%(units)s::bigint[])
    AND NOT EXISTS (SELECT FROM own WHERE own.unit_id = u.id)
UNION ALL
SELECT own.unit_id, own.specification, coalesce(s.document, ''), s.period_months
FROM own LEFT JOIN equipment_cylinderspecification s ON s.code = own.specification
WHERE own.unit_id = ANY (%(units)s::bigint[]) AND (s.id IS NULL OR s.period_months IS NOT NULL)
"""
_FITTED = f"""SELECT u.id, f.aircraft_id, f.root_position_id, f.line_unit_id, u.part_number_id, n.kind_id, a.station_id
FROM {{cylinders}}
JOIN equipment_partnumber n ON n.id = u.part_number_id
JOIN equipment_fittedperiod f ON f.unit_id = u.id
    AND f.from_at < %(end)s AND (f.to_at IS NULL OR f.to_at >= %(end)s)
JOIN fleet_aircraft a ON a.id = f.aircraft_id
WHERE {{those}} AND NOT {IS_COVERED}"""
_BY_PART = """equipment_cylinderspecification s
JOIN equipment_cylinderdesign c ON c.specification_id = s.id
JOIN equipment_unit u ON u.part_number_id = c.part_number_id AND u.merged_into_id IS NULL"""
FITTED = f"""
{_FITTED.format(cylinders=_BY_PART, those="s.period_months IS NOT NULL")}
UNION
{_FITTED.format(cylinders=f"({_OWN}) AS own JOIN equipment_unit u ON u.id = own.unit_id", those="true")}
ORDER BY 1
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
    document: str = ""


class Asks(NamedTuple):
    """What asks for a cylinder's test: its specification, the document, the period (None: as the document says)."""

    code: str
    document: str
    months: int | None


def uncovered(unit_ids: Collection[int], on: date) -> dict[int, str]:
    """What is said of each of these units that is such a cylinder, by its key; the others are missing.

    Few questions for any number of units: those that stored due items show to be covered are, and only
    the rest is reckoned.
    """
    asked = _tests_asked(unit_ids)
    left = sorted(asked.keys() - _stored_as_covered(asked)) if asked else []
    if not left:
        return {}
    return _sentences(set(left) - _reckoned_as_covered(left, on), asked)


def _tests_asked(unit_ids: Collection[int]) -> dict[int, Asks]:
    """Which of these units are cylinders that a specification asks a test of, and what it asks. One question."""
    with connection.cursor() as cursor:
        cursor.execute(ASKED, {"units": array_of(sorted(unit_ids))})
        found = {key: Asks(*asks) for key, *asks in cursor.fetchall()}
    return {key: asks for key, each in found.items() if (asks := _by_the_table(each)) is not None}


def _by_the_table(asks: Asks) -> Asks | None:
    """What a specification that is not on record asks by the published table; None where it asks no test."""
    if asks.document:
        return asks
    points = [one for one in points_for(asks.code, ()) if one.work == "Requalification"]
    if not points:
        return Asks(asks.code, "no published table", None)
    if points[0].months is None and points[0].slug != "cylinder-permit":
        return None
    return Asks(asks.code, points[0].source, points[0].months)


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
    asked = _tests_asked(here)
    said = _sentences(list(here), asked) if is_stored else uncovered(here, on)
    return [
        (here[key]._replace(document=asked[key].document), words) for key, words in said.items()
    ]


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


def _sentences(units: Collection[int], asked: Mapping[int, Asks]) -> dict[int, str]:
    """What is said of each of these cylinders; of one that no test is asked of, nothing."""
    rows = Unit.objects.select_related("part_number").order_by("pk")
    tested = _last_tests(units)
    return {
        unit.pk: _sentence(unit, asked[unit.pk], tested.get(unit.pk))
        for unit in rows.filter(pk__in=[key for key in units if key in asked])
    }


def uncovered_in_all(on: date) -> dict[int, str]:
    """The same of every unit on record that is not gone."""
    is_cylinder = Q(part_number__cylinder__isnull=False) | Exists(
        CylinderMarking.objects.filter(unit=OuterRef("pk"))
    )
    units = Unit.objects.filter(is_cylinder, merged_into=None)
    return uncovered(list(units.exclude(place__sort="gone").values_list("pk", flat=True)), on)


def _last_tests(units: Iterable[int]) -> Mapping[int, date]:
    """The month of the last passed requalification on record of each unit."""
    rows = Requalification.objects.filter(unit__in=list(units), verdict="in")
    return dict(rows.order_by("done_on", "pk").values_list("unit", "done_on"))


def _sentence(unit: Unit, asks: Asks, tested: date | None) -> str:
    """``HS-1 S/N 7 is a 3AA cylinder, and no limit of a programme covers its periodic test …``"""
    began, since = (
        (tested, "its last test on record") if tested else (unit.manufactured_on, "its manufacture")
    )
    aid = ""
    if began is not None and asks.months:
        aid = f" Counted from {since} that would be {day_words(_good_through(began, asks.months))}."
    period = (
        f"{asks.months} months" if asks.months else "no period for it: its own document says it"
    )
    return (
        f"{unit_words(unit)} is a {asks.code} cylinder, and no limit of a programme covers its "
        f"periodic test: {asks.document} has {period}.{aid} Enter the limit."
    )


def _good_through(began: date, months: int) -> date:
    """The last day of the month that lies so many months after (180.205(c): by month and year)."""
    day: date = month_end(add_months(np.array([began], "datetime64[D]"), months))[0].item()
    return day
