"""The rows of the fitted list as pages show them: the ledger's own answer, one aircraft at a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import connection

from fleet.models import Aircraft

from .fitted import end_of_day
from .fitted import fitted as fitted_rows


@dataclass(frozen=True, slots=True)
class FittedRow:
    """A unit fitted at an aircraft position (``depth`` 0) or inside one that is.

    ``quantity`` is how many of the position's places it takes: a lot may take several. ``since`` is as
    exact as ``precision`` says.
    """

    position_id: int
    place_code: str
    depth: int
    unit_id: int
    part_number: str
    serial_number: str
    description: str
    quantity: int
    since: date
    precision: str


Held = dict[int, list[FittedRow]]  # by aircraft position


def by_position(rows: list[FittedRow]) -> Held:
    """The rows of each position, in their order."""
    held: Held = {}
    for row in rows:
        held.setdefault(row.position_id, []).append(row)
    return held


def fitted(aircraft_id: int, *, day: date, known_at: datetime | None) -> list[FittedRow]:
    """What was fitted at the end of a day at the aircraft's station. See :func:`fitted_at`."""
    zone = Aircraft.objects.values_list("station__time_zone", flat=True).get(pk=aircraft_id)
    return fitted_at(aircraft_id, at=end_of_day(day, zone), known_at=known_at)


EVER = """
SELECT DISTINCT p.aircraft_position_id
FROM equipment_stay s JOIN equipment_place p ON p.id = s.place_id
JOIN fleet_aircraftposition ap ON ap.id = p.aircraft_position_id
WHERE ap.aircraft_id = %(aircraft)s AND lower(s.valid) <= %(at)s
  AND lower(s.known) <= coalesce(%(known_at)s::timestamptz, 'infinity')
  AND coalesce(upper(s.known) > coalesce(%(known_at)s::timestamptz, 'infinity'), true)
"""


def ever_fitted(aircraft_id: int, *, day: date, known_at: datetime | None) -> set[int]:
    """The positions of an aircraft of which some record says, for the end of a day or before, what was
    there. Of the others nobody can say that nothing is."""
    zone = Aircraft.objects.values_list("station__time_zone", flat=True).get(pk=aircraft_id)
    asked: dict[str, Any] = {
        "aircraft": aircraft_id,
        "at": end_of_day(day, zone),
        "known_at": known_at,
    }
    with connection.cursor() as cursor:
        cursor.execute(EVER, asked)
        return {position for (position,) in cursor.fetchall()}


def fitted_at(aircraft_id: int, *, at: datetime, known_at: datetime | None) -> list[FittedRow]:
    """Outermost units in the order of their positions, each followed by what is inside it.

    ``known_at`` None is what is known now.
    """
    return [
        FittedRow(
            position_id=row.position_id,
            place_code=row.path[-1],
            depth=row.depth,
            unit_id=row.unit_id,
            part_number=row.part_number,
            serial_number=row.serial_number,
            description=row.description,
            quantity=row.quantity,
            since=row.since_on,
            precision=row.precision,
        )
        for row in fitted_rows(aircraft_id, at, known_at)
    ]
